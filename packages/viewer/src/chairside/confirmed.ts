import type { ConfirmedGeometry, Plan } from '@alveometer/core'
import type { GeometryAnswers, OpenQuestion, SeriesSummary } from '@alveometer/scan'

/** Whether everything that is open was answered. */
export const answersAll = (answers: GeometryAnswers, questions: readonly OpenQuestion[]): boolean =>
  questions.every(({ ask }) =>
    ask === 'pixel-spacing'
      ? answers.pixelSpacingMm !== undefined
      : ask === 'slice-step'
        ? answers.sliceStepMm !== undefined
        : answers.orientation !== undefined,
  )

/** What a plan of the series holds to answer all that is open about it; null when that is not all. */
export function confirmedIn(
  plan: Plan | null | undefined,
  { seriesUid, questions }: Pick<SeriesSummary, 'seriesUid' | 'questions'>,
): ConfirmedGeometry | null {
  const confirmed = plan?.scan.confirmed
  if (plan?.scan.seriesUid !== seriesUid || confirmed === undefined) return null
  return answersAll(confirmed, questions) ? confirmed : null
}

/** Whether two confirmations give a scan the same lengths and sides, however they came about. */
export function sameGeometry(a: ConfirmedGeometry | undefined, b: ConfirmedGeometry | undefined): boolean {
  const geometry = ({ pixelSpacingMm, sliceStepMm, orientation }: Partial<ConfirmedGeometry> = {}) =>
    JSON.stringify([
      pixelSpacingMm,
      sliceStepMm,
      orientation && [orientation.row, orientation.column, orientation.slice],
    ])
  return geometry(a) === geometry(b)
}
