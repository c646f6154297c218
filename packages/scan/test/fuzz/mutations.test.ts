import { createVolume, fromFrame, scale, toIndex, type Vec3, type Volume } from '@alveometer/core'
import { createRandom, type NamedBytes, writeMultiFrame, writeSeries, zipSeries } from '@alveometer/phantom'
import { expect, it } from 'vitest'
import { inputFromBytes, isScanError, type LoadedScan, loadScan } from '../../src/index.js'
import { elementsOf, numbersOf, stringOf } from './elements.js'
import { mutate } from './mutate.js'

/** `FUZZ_RUNS=100000 npx vitest run packages/scan/test/fuzz` for more. */
const RUNS = Number(process.env.FUZZ_RUNS ?? 6000)
const FIRST = Number(process.env.FUZZ_FIRST ?? 0)
const SEED = process.env.FUZZ_SEED ?? 'mutations'
/** Longer than any of these tiny inputs could honestly need. */
const HANG_MS = 5000

// Oblique, not square, every number with decimals: a swap or a slip of any kind shows.
const turn = (deg: number, v: Vec3): Vec3 => {
  const [c, s] = [Math.cos((deg * Math.PI) / 180), Math.sin((deg * Math.PI) / 180)]
  return [c * v[0] - s * v[1], s * v[0] + c * v[1], v[2]]
}
const small = createVolume({
  data: Int16Array.from({ length: 8 * 6 * 5 }, (_, n) => (n * 37) % 1000),
  shape: [8, 6, 5],
  indexToWorld: fromFrame(
    scale(turn(20, [1, 0, 0]), 0.25),
    scale(turn(20, [0, 1, 0]), 0.4),
    [0, 0, 0.3],
    [-12.5, 31.25, -7.75],
  ),
})

const syntaxes = [
  'explicitLittle',
  'explicitLittle',
  'implicitLittle',
  'explicitBig',
  'deflated',
  'rle',
] as const
const vrOf = (syntax: (typeof syntaxes)[number]) =>
  syntax === 'implicitLittle' ? ('implicit' as const) : ('explicit' as const)
const bases = [
  ...syntaxes.map((syntax) => ({
    name: syntax as string,
    plain: syntax !== 'explicitBig' && syntax !== 'deflated',
    vr: vrOf(syntax),
    files: writeSeries(small, { syntax, seed: 'fuzz' }),
  })),
  ...(['explicitLittle', 'implicitLittle', 'rle'] as const).map((syntax) => ({
    name: `many frames, ${syntax}`,
    plain: false,
    vr: vrOf(syntax),
    files: [writeMultiFrame(small, { object: 'XRay3DCraniofacial', syntax, seed: 'fuzz' })],
  })),
]

it(`${RUNS} hurt inputs: a sound volume or a ScanError, never anything else`, {
  timeout: 3_600_000,
}, async () => {
  const seen = { loaded: 0, refused: 0, checked: 0 }
  for (let run = FIRST; run < FIRST + RUNS; run++) {
    const random = createRandom(`${SEED}/${run}`)
    const { files, vr, name, plain } = bases[run % bases.length] as (typeof bases)[number]
    const hurt = mutate(files, random, vr)
    const what = `run ${run}: ${name}, ${hurt.how}`
    const zipped = run % 7 === 0
    const inputs = zipped
      ? [inputFromBytes('scan.zip', zipSeries(hurt.files))]
      : hurt.files.map((f) => inputFromBytes(f.name, f.bytes))
    const start = performance.now()
    try {
      const loaded = await loadScan(inputs)
      seen.loaded++
      checkVolume(loaded.volume, what)
      if (plain) seen.checked += checkSlices(loaded, hurt.files, vr, zipped ? 'scan.zip/' : '', what)
    } catch (error) {
      if (!isScanError(error)) throw new Error(`${what}: ${error}`, { cause: error })
      seen.refused++
      expect(error.message.length, what).toBeGreaterThan(20)
      expect(error.message, what).not.toMatch(/undefined|NaN (mm|x|deg)|\[object|^\d+$/)
    }
    if (performance.now() - start > HANG_MS) throw new Error(`${what}: took longer than ${HANG_MS} ms`)
  }
  // Both ends are met often enough for the run to mean something.
  expect(seen.loaded).toBeGreaterThan(RUNS / 20)
  expect(seen.refused).toBeGreaterThan(RUNS / 20)
  expect(seen.checked).toBeGreaterThan(RUNS / 20)
})

function checkVolume(volume: Volume, what: string): void {
  expect(volume.indexToWorld.every(Number.isFinite), what).toBe(true)
  expect(
    volume.spacingMm.every((s) => s > 0 && Number.isFinite(s)),
    what,
  ).toBe(true)
  expect(volume.data.length, what).toBe(volume.shape[0] * volume.shape[1] * volume.shape[2])
  expect(Number.isFinite(volume.grey.minimum) && Number.isFinite(volume.grey.maximum), what).toBe(true)
}

/** Every slice that was taken must lie in the volume where its own header says, and as its header says. */
function checkSlices(
  { volume, series, report }: LoadedScan,
  files: readonly NamedBytes[],
  vr: 'explicit' | 'implicit',
  folder: string,
  what: string,
): number {
  const leftOut = new Set(
    report
      .filter((r) => r.code !== 'uneven-steps' && r.code !== 'slices-missing')
      .flatMap((r) => r.files ?? []),
  )
  const tolerance = report.some((r) => r.code === 'uneven-steps') ? 0.21 : 0.02
  let checked = 0
  for (const { name, bytes } of files) {
    // A repeat of a slice that was left out is not listed again.
    if (leftOut.has(folder + name) || leftOut.has(folder + name.replace(/^again-/, ''))) continue
    const elements = elementsOf(bytes, vr)
    if (!elements || stringOf(bytes, elements, '0020000e') !== series.seriesUid) continue
    const position = numbersOf(bytes, elements, '00200032')
    const orientation = numbersOf(bytes, elements, '00200037')
    const spacing = numbersOf(bytes, elements, '00280030')
    if (!position || !orientation || !spacing) continue
    const place = (i: number, j: number): Vec3 => {
      const at = (axis: 0 | 1 | 2) =>
        (position[axis] as number) +
        i * (spacing[1] as number) * (orientation[axis] as number) +
        j * (spacing[0] as number) * (orientation[axis + 3] as number)
      return [at(0), at(1), at(2)]
    }
    const first = toIndex(volume.worldToIndex, place(0, 0))
    const across = toIndex(volume.worldToIndex, place(3, 0))
    const down = toIndex(volume.worldToIndex, place(0, 2))
    const where = `${what}: ${name} lies at index ${first.map((c) => c.toFixed(3))}`
    expect(Math.abs(first[2] - Math.round(first[2])), where).toBeLessThan(tolerance)
    expect(first[2], where).toBeGreaterThan(-tolerance)
    expect(first[2], where).toBeLessThan(volume.shape[2] - 1 + tolerance)
    // A plane of the volume, voxel for voxel: three columns on are three columns on, two rows two rows.
    for (const [ahead, step] of [
      [across, [3, 0, 0]],
      [down, [0, 2, 0]],
    ] as const)
      for (const axis of [0, 1, 2] as const)
        expect(Math.abs(ahead[axis] - first[axis] - step[axis]), where).toBeLessThan(0.02)
    checked++
  }
  return checked
}
