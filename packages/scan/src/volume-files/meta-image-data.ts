import type { ScanInput } from '../inputs/index.js'
import type { ReportEntry } from '../report/index.js'
import { findDataFiles, namesOf } from './data-files.js'
import { damaged, truncated, unsupported } from './findings.js'
import type { StoredPart } from './header.js'
import { isGzip } from './kind.js'
import type { MetaFields } from './meta-image-fields.js'
import { isWhole, readNumbers, words } from './numbers.js'
import { partOf } from './stored-part.js'
import { asUtf8 } from './text-head.js'

/**
 * Where the voxels of a MetaImage header lie, as far as the sizes of the files can tell.
 * @throws FindingError
 */
export async function metaParts(
  header: ScanInput,
  siblings: readonly ScanInput[],
  fields: MetaFields,
  dimSize: readonly number[],
  bytes: number,
  signal?: AbortSignal,
): Promise<{ parts: readonly StoredPart[]; report: readonly ReportEntry[] }> {
  const { name: file } = header
  const names = dataFileNames(file, fields, dimSize)
  const inputs = names ? findDataFiles(header, names, siblings) : [header]
  const each = bytes / inputs.length
  if (!Number.isInteger(each)) throw damaged(file, 'its voxels cannot be shared among so many data files')
  const headerSize = Number(fields.get('HeaderSize') ?? 0)
  if (!isWhole(headerSize, -1)) throw damaged(file, '"HeaderSize" cannot be right')
  const compressed = fields.flag('CompressedData') === true
  if (compressed && headerSize < 0)
    throw unsupported(file, 'packed with voxels counted from its end', 'Save it again unpacked.')
  const packedSize = Number(fields.get('CompressedDataSize') ?? Number.NaN)
  const parts: StoredPart[] = []
  const report: ReportEntry[] = []
  for (const input of inputs) {
    const first = names ? 0 : fields.end
    const start = headerSize < 0 ? Math.max(first, input.size - each) : Math.max(first, headerSize)
    const packing = compressed ? await packingAt(input, start, signal) : 'none'
    const end = compressed && inputs.length === 1 && packedSize > 0 ? start + packedSize : input.size
    if (end > input.size) throw truncated(input.name, `${end - input.size} bytes of its voxels are missing`)
    const { part, report: more } = partOf({ input, header: file, start, end, packing, skip: 0, bytes: each })
    parts.push(part)
    report.push(...more)
  }
  return { parts, report }
}

/** MetaIO writes zlib streams; its unpacking takes gzip as well. */
async function packingAt(input: ScanInput, start: number, signal?: AbortSignal): Promise<'gzip' | 'zlib'> {
  return isGzip(await input.read(start, start + 3, signal)) ? 'gzip' : 'zlib'
}

/** `LOCAL` is null: the voxels follow the header. Else `NAME`, `PATTERN [first [last [step]]]` or `LIST [dimension]`. */
function dataFileNames(file: string, fields: MetaFields, dimSize: readonly number[]): string[] | null {
  const value = fields.get('ElementDataFile') ?? ''
  if (value === '') throw damaged(file, 'it does not say where its voxels are')
  if (/^local$/i.test(value)) return null
  const [pattern, ...rest] = words(value)
  if (pattern === 'LIST') {
    const dimension = Number.parseInt(rest[0] ?? '', 10)
    const inEach = dimension >= 1 && dimension <= dimSize.length ? dimension : dimSize.length - 1
    const count = dimSize.slice(inEach).reduce((product, n) => product * n, 1)
    if (fields.listed.length < count)
      throw damaged(file, `it lists ${fields.listed.length} of ${count} data files`)
    return fields.listed.slice(0, count).map(asUtf8)
  }
  if (!/%\d*d/.test(pattern)) return [asUtf8(value)]
  const files = dimSize.at(-1) ?? 1
  const [first = 1, last = first + files - 1, step = (last - first) / Math.max(1, files - 1)] =
    readNumbers(rest.join(' ')) ?? []
  const names = namesOf(file, asUtf8(pattern), { first, last, step })
  if (names.length !== files) throw damaged(file, `it names ${names.length} data files for ${files} slices`)
  return names
}
