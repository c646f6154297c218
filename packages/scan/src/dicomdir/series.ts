import type { DirectoryRecord } from './records.js'

/** To which series each record belongs, as far as the file tells. */
export const seriesOf = (records: readonly DirectoryRecord[]): ReadonlyMap<DirectoryRecord, string> =>
  byOffsets(records) ?? byOrder(records)

/** Along the offsets, the only order that counts. Null when there are none or one of them leads to no record. */
function byOffsets(records: readonly DirectoryRecord[]): Map<DirectoryRecord, string> | null {
  const places = new Map(records.map((record) => [record.offset, record]))
  const offsets = records.flatMap(({ next, lower }) => [next, lower]).filter((offset) => offset !== 0)
  if (offsets.length === 0 || !offsets.every((offset) => places.has(offset))) return null
  const series = new Map<DirectoryRecord, string>()
  for (const top of records.filter(isSeries)) {
    const waiting = [places.get(top.lower)]
    for (let record = waiting.pop(); record; record = waiting.pop()) {
      if (series.has(record)) continue
      series.set(record, uidOf(top))
      waiting.push(...[record.next, record.lower].flatMap((offset) => places.get(offset) ?? []))
    }
  }
  return series
}

/** Writers without sound offsets put the records of a series behind it. */
function byOrder(records: readonly DirectoryRecord[]): Map<DirectoryRecord, string> {
  const series = new Map<DirectoryRecord, string>()
  let uid: string | null = null
  for (const record of records) {
    if (isSeries(record)) uid = uidOf(record)
    else if (record.type === 'STUDY' || record.type === 'PATIENT') uid = null
    else if (uid !== null) series.set(record, uid)
  }
  return series
}

const isSeries = (record: DirectoryRecord): boolean => record.type === 'SERIES'

const uidOf = ({ data }: DirectoryRecord): string => data.string('x0020000e') ?? ''
