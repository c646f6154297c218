import type { Person, SeriesSummary } from '@alveometer/scan'

/** Neither a scout nor beyond help. */
export const isWorthChoosing = (s: SeriesSummary): boolean =>
  !s.localizer && (s.usable || s.questions.length > 0)

const isKnown = ({ person }: Patient): boolean =>
  person.name !== '' || person.id !== '' || person.birthDate !== ''

/** Persons that can be told apart; files that name nobody are no further one. */
export const knownPatients = (series: readonly SeriesSummary[]): Patient[] =>
  byPatient(series).filter(isKnown)

export interface Study {
  readonly studyUid: string
  readonly series: readonly SeriesSummary[]
}

export interface Patient {
  readonly person: Person
  readonly studies: readonly Study[]
}

/** Series by person and study, in the order they were found in. */
export function byPatient(series: readonly SeriesSummary[]): Patient[] {
  const nobody: Person = { name: '', id: '', birthDate: '' }
  const groups = groupBy(series, ({ person = nobody }) =>
    JSON.stringify([person.name, person.id, person.birthDate]),
  )
  return groups.map((own) => ({
    person: own[0]?.person ?? nobody,
    studies: groupBy(own, (s) => s.studyUid).map((of) => ({ studyUid: of[0]?.studyUid ?? '', series: of })),
  }))
}

function groupBy<T>(items: readonly T[], key: (item: T) => string): T[][] {
  const groups = new Map<string, T[]>()
  for (const item of items) groups.set(key(item), [...(groups.get(key(item)) ?? []), item])
  return [...groups.values()]
}
