import { createVolume, type Mat4, sampleAt, transformPoint, type Vec3, type Volume } from '@alveometer/core'
import { chiralMarks } from '@alveometer/phantom'
import { expect } from 'vitest'
import { inputFromBytes, type ScanInput } from '../src/index.js'
import { nodeVolumeFileReader } from '../src/node/volume-file-reader.js'
import { FindingError, type ReportEntry } from '../src/report/index.js'
import { decodeVolumeFile, readVolumeHeader, type VolumeFileHeader } from '../src/volume-files/index.js'
import { phantom } from './chiral.js'

export const reader = nodeVolumeFileReader()

/** The direction in which an index counts up: towards the patient's left, posterior, superior, or away from it. */
export type Side = '+x' | '-x' | '+y' | '-y' | '+z' | '-z'

/** The chiral phantom with its voxels laid out along other axes: the same grey at the same world points. */
export interface Laid {
  readonly data: Int16Array
  readonly shape: Vec3
  readonly directions: readonly [Vec3, Vec3, Vec3]
  readonly spacing: number
  readonly origin: Vec3
}

export function layPhantom(...sides: readonly [Side, Side, Side]): Laid {
  const axes = sides.map((side) => ({ world: 'xyz'.indexOf(side[1]), up: side[0] === '+' }))
  const shape = axes.map(({ world }) => phantom.shape[world]) as unknown as Vec3
  const data = new Int16Array(phantom.data.length)
  let at = 0
  for (let k = 0; k < shape[2]; k++)
    for (let j = 0; j < shape[1]; j++)
      for (let i = 0; i < shape[0]; i++) {
        const place = [0, 0, 0]
        for (const [n, index] of [i, j, k].entries()) {
          const { world, up } = axes[n]
          place[world] = up ? index : shape[n] - 1 - index
        }
        data[at++] = phantom.data[place[0] + phantom.shape[0] * (place[1] + phantom.shape[1] * place[2])]
      }
  const unit = ({ world, up }: (typeof axes)[number]) =>
    [0, 1, 2].map((c) => (c === world ? (up ? 1 : -1) : 0))
  const first = [0, 0, 0]
  for (const [n, { world, up }] of axes.entries()) first[world] = up ? 0 : 0.3 * (shape[n] - 1)
  return {
    data,
    shape,
    directions: axes.map(unit) as unknown as Laid['directions'],
    spacing: 0.3,
    origin: first as unknown as Vec3,
  }
}

/** All ways to lay out a volume along the axes of the body: 6 orders, 8 sets of signs. */
export const everyLayout: readonly (readonly [Side, Side, Side])[] = [
  'xyz',
  'xzy',
  'yxz',
  'yzx',
  'zxy',
  'zyx',
].flatMap((order) =>
  [0, 1, 2, 3, 4, 5, 6, 7].map((signs) => {
    const side = (n: number) => `${(signs >> n) & 1 ? '-' : '+'}${order[n]}` as Side
    return [side(0), side(1), side(2)] as const
  }),
)

export const bytesOf = (data: ArrayBufferView): Uint8Array =>
  new Uint8Array(data.buffer, data.byteOffset, data.byteLength)

/** The same numbers with the bytes of each in the other order. */
export function swapped(data: Int16Array): Uint8Array {
  const out = new Uint8Array(data.byteLength)
  const view = new DataView(out.buffer)
  for (const [i, value] of data.entries()) view.setInt16(2 * i, value, false)
  return out
}

/** Text and bytes one after another. */
export function file(...parts: readonly (string | Uint8Array)[]): Uint8Array {
  return new Uint8Array(Buffer.concat(parts.map((p) => (typeof p === 'string' ? Buffer.from(p, 'utf8') : p))))
}

export const input = (name: string, ...parts: readonly (string | Uint8Array)[]): ScanInput =>
  inputFromBytes(name, file(...parts))

export interface LoadedFile {
  readonly header: VolumeFileHeader
  readonly volume: Volume
  readonly report: readonly ReportEntry[]
}

/** Header, voxels and the volume made of them. */
export async function loadVolumeFile(
  main: ScanInput,
  siblings: readonly ScanInput[] = [],
): Promise<LoadedFile> {
  const header = await readVolumeHeader(main, [main, ...siblings])
  const { data, noData, report } = await decodeVolumeFile(header, reader)
  if (!header.indexToWorld) throw new Error(`${main.name}: ${header.questions.join()} open`)
  const volume = createVolume({
    data,
    shape: header.shape,
    indexToWorld: header.indexToWorld,
    ...(noData === undefined ? {} : { noData }),
  })
  return { header, volume, report: [...header.report, ...report] }
}

/** Each mark at its world point, moved by `by` where the volume as a whole was. */
export function expectMarks(volume: Volume, by?: Mat4): void {
  for (const { side, grey, world } of chiralMarks)
    expect(sampleAt(volume, by ? transformPoint(by, world) : world), side).toBeCloseTo(grey, 3)
}

/** Reads what must be refused, header or voxels, and returns the finding. */
export async function refusal(main: ScanInput, siblings: readonly ScanInput[] = []): Promise<ReportEntry> {
  try {
    await decodeVolumeFile(await readVolumeHeader(main, [main, ...siblings]), reader)
  } catch (error) {
    if (!(error instanceof FindingError)) throw error
    const { finding } = error
    expect(finding.level).toBe('block')
    expect(finding.message.length).toBeGreaterThan(30)
    // Every refusal ends with what to do.
    expect(finding.message.trim().split('. ').length).toBeGreaterThan(1)
    return finding
  }
  throw new Error(`${main.name} was read, should have been refused`)
}

/** That ITK places the first voxel and the axes of the very same file where our header does. */
export async function expectItkAgrees(
  kind: Parameters<typeof reader.read>[0],
  file: Parameters<typeof reader.read>[1],
  header: VolumeFileHeader,
  digits: number,
): Promise<void> {
  const image = await reader.read(kind, file)
  for (const c of [0, 1, 2] as const) {
    expect(image.origin[c]).toBeCloseTo(header.originMm?.[c] ?? Number.NaN, digits)
    for (const axis of [0, 1, 2] as const)
      expect(image.direction[3 * c + axis]).toBeCloseTo(header.directions?.[axis][c] ?? Number.NaN, digits)
  }
}
