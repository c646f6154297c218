import type { SliceHeader } from '../headers/index.js'
import { count, note, type ReportEntry, warn } from '../report/index.js'
import { clusters } from './cluster.js'
import { findIntruders } from './intruder.js'

/** The images of one series that are tried as one volume, and what was left out of it. */
export interface SeriesGroup {
  readonly headers: readonly SliceHeader[]
  readonly localizer: boolean
  readonly report: readonly ReportEntry[]
}

/**
 * Groups images by patient, study, series and frame of reference: never across any of them.
 * Within a series the largest stack of equal geometry is kept; what else the series holds is listed.
 */
export function groupSeries(headers: readonly SliceHeader[]): SeriesGroup[] {
  const bySeries = new Map<string, SliceHeader[]>()
  for (const header of headers) {
    const { studyUid, seriesUid, frameOfReferenceUid } = header
    const key = JSON.stringify([
      patientKey(header),
      studyUid,
      seriesUid,
      frameOfReferenceUid,
      objectOf(header),
    ])
    const members = bySeries.get(key)
    if (members) members.push(header)
    else bySeries.set(key, [header])
  }
  const groups = [...bySeries.values()].map(groupOf)
  return groups.map((group) => ({ ...group, report: [...group.report, ...checkSplit(group, groups)] }))
}

/** Slices of one series that name different patients, studies or spaces: one file changed by mistake, or a mix-up. */
function checkSplit(group: SeriesGroup, groups: readonly SeriesGroup[]): ReportEntry[] {
  const own = group.headers[0]
  const parts = groups.filter(
    ({ headers: [first] }) => first?.seriesUid === own?.seriesUid && !isObject(first),
  )
  if (!own || isObject(own) || parts.length < 2) return []
  const slices = parts.map((part) => part.headers.length)
  const message = `The images of this series do not all belong to one patient, study and frame of reference; they were taken apart (${slices.join(' + ')} images). Check that the scan is complete.`
  return [warn('series-split', message, [], { parts: parts.length })]
}

const isObject = (header: SliceHeader | undefined): boolean =>
  header !== undefined && header.layout.frames > 1

/** A file of many frames is a volume of its own, unless it says that it is a piece of one (PS3.3 C.7.6.16.2.2.4). */
const objectOf = ({ layout, concatenationUid, sopInstanceUid }: SliceHeader) =>
  concatenationUid || (layout.frames > 1 ? sopInstanceUid : '')

const patientKey = ({ patient }: SliceHeader) => `${trimmed(patient.id)}|${patient.birthDate}`
// The value is the bytes of the file, with the blanks or zeros that make its length even.
const trimmed = (text: string) => text.replaceAll('\0', '').trim()

function groupOf(members: readonly SliceHeader[]): SeriesGroup {
  const [main, ...others] = clusters(members)
  if (!main) return { headers: [], localizer: false, report: [] }
  const report: ReportEntry[] = []
  for (const { headers, localizer } of others) {
    const files = [...new Set(headers.map((h) => h.file))]
    if (localizer)
      report.push(
        note('localizer-left-out', `${count(headers.length, 'localizer')} left out of the volume.`, files),
      )
    else if (headers.length < 3)
      report.push(
        note(
          'image-left-out',
          `${count(headers.length, 'image')} of other size or orientation left out of the volume.`,
          files,
        ),
      )
    else
      report.push(
        warn(
          'stack-left-out',
          `The series holds a second stack of ${headers.length} images of other size or orientation; only the larger one is loaded.`,
          files,
        ),
      )
    if (!localizer) report.push(...findIntruders(main.headers, headers))
  }
  return { headers: main.headers, localizer: main.localizer, report }
}

/** Warns when the pick holds images of more than one patient. Who they are is not said. */
export function checkPatients(headers: readonly SliceHeader[]): ReportEntry[] {
  const patients = new Map<string, string>()
  for (const header of headers)
    if (!patients.has(patientKey(header))) patients.set(patientKey(header), header.file)
  if (patients.size < 2) return []
  const message = `The files belong to ${patients.size} different patients. Make sure that the right scan is chosen.`
  return [warn('several-patients', message, [...patients.values()])]
}
