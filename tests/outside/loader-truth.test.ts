import { spawnSync } from 'node:child_process'
import { readdirSync, readFileSync, writeFileSync } from 'node:fs'
import { mkdtemp, rm } from 'node:fs/promises'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { column, length, toIndex, toWorld, type Vec3, type Volume } from '@alveometer/core'
import { createRandom } from '@alveometer/phantom'
import { isScanError, type LoadedScan, loadScan } from '@alveometer/scan'
import { inputsFromPath, nodeDecoder, nodeVolumeFileReader } from '@alveometer/scan/node'
import { describe, expect, it } from 'vitest'
import { readFrames } from '../../packages/scan/src/decode/index.js'
import { greyOf, rescaleOf } from '../../packages/scan/src/grey/index.js'
import { readHeader, type SliceHeader } from '../../packages/scan/src/headers/index.js'
import { describeWithPython, type RunPython } from '../outside-python.js'
import { describeMissing, describeWithData } from '../shared-data.js'
import { NO_SCAN, NO_VALUES, REFUSED } from './loader-truth-refused.js'

/** What loader-truth.py says of one series or one file: pydicom, nibabel and NumPy, no code of ours. */
interface Group {
  readonly name: string
  readonly series: string
  readonly files: readonly string[]
  /** Columns, rows, slices. */
  readonly shape: Vec3
  /** Null where it is one image, or says not where its slices lie. */
  readonly stack: { readonly stepsMm: readonly number[]; readonly tiltDeg: number } | null
  readonly whole: boolean
  readonly voxels: readonly TrueVoxel[]
  /** Why it could not be read there. */
  readonly unread?: string
}

interface TrueVoxel {
  readonly file: string
  readonly frame: number
  readonly row: number
  readonly column: number
  /** LPS mm; null where the file gives no place. */
  readonly world: Vec3 | null
  /** Rescaled; null for declared padding. */
  readonly grey: number | null
}

const script = readFileSync(join(import.meta.dirname, 'loader-truth.py'), 'utf8')
const READERS = { decoder: nodeDecoder(), volumeFileReader: nodeVolumeFileReader() }
/** Written in files to about six decimals; ours must not add to that. */
const PLACE_MM = 1e-4

const missing = ['dcmdjpeg', 'dcmdjpls', 'opj_decompress'].filter((tool) => spawnSync(tool, ['-h']).error)
if (missing.length > 0)
  describeMissing('every readable file of the shared data', `no ${missing.join(' and ')}`)
else describeWithData('every readable file of the shared data', '.', compareAll)

function compareAll(root: string) {
  describeWithPython('against pydicom, nibabel and NumPy', ['numpy', 'pydicom', 'nibabel'], (run) => {
    const { groups } = JSON.parse(run(script, ['groups', root])) as { groups: Group[] }
    const refused = (path: string) => REFUSED.some(([p]) => path === p || path.startsWith(`${p}/`))
    const volumes = groups.filter((g) => g.whole && !refused(g.name))
    const images = groups.filter((g) => !volumes.includes(g) && !NO_VALUES[g.name])
    const straight = volumes.filter((g) => (g.stack?.tiltDeg ?? 0) <= 0.1)
    const tilted = volumes.filter((g) => !straight.includes(g))

    it('every file is compared, refused or no scan', () => {
      const compared = new Set([...volumes, ...images].flatMap((g) => g.files.map(onDisk)))
      const all = readdirSync(root, { recursive: true, withFileTypes: true })
      const files = all
        .filter((f) => f.isFile())
        .map((f) => join(f.parentPath, f.name).slice(root.length + 1))
      const left = files.filter((f) => !compared.has(f) && !refused(f) && !NO_SCAN.test(f))
      expect(left).toEqual([])
      expect(volumes.length).toBeGreaterThan(8)
      // Nothing is compared by no voxel at all.
      for (const group of [...volumes, ...images]) expect(group.voxels.length, group.name).toBe(200)
    })

    describe('volumes', () => {
      it.each(straight.map((g) => [g.name, g] as const))('%s', async (_, group) => {
        const { volume, report } = await loadGroup(root, group)
        expect(volume.shape).toEqual(group.shape)
        for (const voxel of group.voxels) expectVoxel(volume, voxel, report)
      })
    })

    describe('tilted stacks', () => {
      it.each(tilted.map((g) => [g.name, g] as const))('%s', async (_, group) => {
        const { volume } = await loadGroup(root, group)
        for (const { world } of group.voxels) expectOnPlane(volume, world)
        await expectBetweenPixels(run, join(root, group.name), volume)
      })
    })

    describe('images one by one, also those of a series that is refused', () => {
      it.each(images.map((g) => [g.name, g] as const))('%s', (_, group) => expectImages(root, group))
    })

    describe('what must be refused', () => {
      it.each(REFUSED)('%s: %s, for %s', async (path, code) => {
        const error = await loadScan(await inputsFromPath(join(root, path)), READERS).then(
          () => null,
          (e: unknown) => e,
        )
        expect(isScanError(error)).toBe(true)
        if (!isScanError(error)) return
        expect(error.report.filter((r) => r.level === 'block').map((r) => r.code)).toContain(code)
        // A sentence with a remedy, never the bare number of a codec.
        expect(error.message).toMatch(/ (add|choose|copy|export|keep|remove|take) /i)
      })
    })
  })
}

/** A file in a zip lies on disk as the zip. */
const onDisk = (file: string) => file.replace(/\.zip\/.*/, '.zip')

async function loadGroup(root: string, { files, series }: Group): Promise<LoadedScan> {
  const [first] = files
  const file = onDisk(first ?? '')
  const alone = files.length === 1 || file !== first
  const inputs = await inputsFromPath(join(root, alone ? file : dirname(file)))
  return loadScan(inputs, { ...READERS, ...(series ? { seriesUid: series } : {}) })
}

function expectVoxel(volume: Volume, { world, grey, file }: TrueVoxel, report: LoadedScan['report']): void {
  if (!world) throw new Error(`${file} has no place`)
  const { index, offMm } = voxelOf(volume, world)
  expect(offMm, `${file}: mm off the centre of a voxel`).toBeLessThan(PLACE_MM)
  const ours = at(volume, index)
  if (ours !== volume.noData)
    expect(ours).toBe(volume.data instanceof Float32Array ? Math.fround(grey ?? Number.NaN) : grey)
  else if (grey !== null) {
    // Not declared by the file: the constant round the field, found by the loader and said so.
    const field = report.find((r) => r.code === 'constant-outside-field')
    expect(grey).toBe(field?.facts?.value)
    const middle = toWorld(volume.indexToWorld, [
      (volume.shape[0] - 1) / 2,
      (volume.shape[1] - 1) / 2,
      index[2],
    ])
    const radius = Math.hypot(world[0] - middle[0], world[1] - middle[1])
    expect(radius).toBeGreaterThan(Number(field?.facts?.radiusMm) - 0.1)
  }
}

function expectOnPlane({ worldToIndex, indexToWorld }: Volume, world: Vec3 | null): void {
  const k = toIndex(worldToIndex, world ?? [Number.NaN, 0, 0])[2]
  expect(Math.abs(k - Math.round(k)) * length(column(indexToWorld, 2))).toBeLessThan(PLACE_MM)
}

/** Voxels of the straight box: on the plane of a slice the linear value between its pixels, elsewhere no data. */
async function expectBetweenPixels(run: RunPython, folder: string, volume: Volume): Promise<void> {
  const random = createRandom(11)
  const picks = Array.from(
    { length: 200 },
    () => volume.shape.map((n) => Math.floor(random.uniform() * n)) as unknown as Vec3,
  )
  const work = await mkdtemp(join(tmpdir(), 'loader-truth-'))
  try {
    const list = join(work, 'points.json')
    writeFileSync(list, JSON.stringify(picks.map((index) => toWorld(volume.indexToWorld, index))))
    const truth = JSON.parse(run(script, ['slices', folder, list])) as OnSlice[]
    for (const [n, { grey, spread, offMm, edge }] of truth.entries()) {
      const ours = at(volume, picks[n] as Vec3)
      const between = Math.abs(offMm) > PLACE_MM
      if (between || grey === null) {
        // A thousandth of a pixel at the rim is rounding of the file.
        if (between || edge > 1e-3) expect(ours).toBe(volume.noData)
        continue
      }
      // The box holds whole numbers; a shift is taken to a thousandth of a pixel.
      expect(Math.abs(ours - grey)).toBeLessThanOrEqual(0.5 + 2e-3 * spread)
    }
    expect(truth.filter((t) => t.grey !== null && Math.abs(t.offMm) < PLACE_MM).length).toBeGreaterThan(100)
  } finally {
    await rm(work, { recursive: true })
  }
}

interface OnSlice {
  readonly grey: number | null
  /** Largest less smallest of the four pixels around. */
  readonly spread: number
  readonly offMm: number
  /** Pixels by which the point lies outside of the pixel centres; negative inside. */
  readonly edge: number
}

/** The images of a group, each from its own header. */
async function expectImages(root: string, group: Group): Promise<void> {
  const slices = new Map<string, readonly Read[]>()
  for (const file of group.files) slices.set(file, await imagesIn(join(root, file)))
  for (const { file, frame, row, column: c, world, grey } of group.voxels) {
    const found = slices.get(file)?.[frame]
    if (!found) throw new Error(`${file}, frame ${frame} was not read`)
    const { header, values } = found
    const ours = values[row * header.layout.columns + c] as number
    expect(Number.isNaN(ours) ? null : ours, `${file} at row ${row}, column ${c}`).toBe(grey)
    expectPlace(header, row, c, world)
  }
}

interface Read {
  readonly header: SliceHeader
  readonly values: Float64Array
}

async function imagesIn(path: string): Promise<Read[]> {
  const [input] = await inputsFromPath(path)
  if (!input) throw new Error(`${path} is not there`)
  const result = await readHeader(input)
  if (result.kind !== 'image') throw new Error(`${path} is ${result.kind}`)
  const images: Read[] = []
  for await (const frame of readFrames(result.slices, READERS.decoder)) {
    const header = result.slices[images.length] as SliceHeader
    const values = new Float64Array(header.layout.rows * header.layout.columns)
    greyOf(frame, header, rescaleOf(header), values)
    images.push({ header, values })
  }
  return images
}

/** PS3.3 C.7.6.2.1.1, from the header record. */
function expectPlace(header: SliceHeader, row: number, c: number, world: Vec3 | null): void {
  const { position, rowDirection, columnDirection, pixelSpacingMm } = header
  if (!position || !rowDirection || !columnDirection || !pixelSpacingMm) {
    expect(world).toBeNull()
    return
  }
  for (const axis of [0, 1, 2] as const) {
    const across = c * pixelSpacingMm[1] * rowDirection[axis]
    const mm = position[axis] + across + row * pixelSpacingMm[0] * columnDirection[axis]
    expect(Math.abs(mm - (world?.[axis] ?? Number.NaN))).toBeLessThan(PLACE_MM)
  }
}

/** The nearest voxel of a point and how far from its centre the point is. */
function voxelOf({ worldToIndex, indexToWorld }: Volume, world: Vec3) {
  const index = toIndex(worldToIndex, world).map(Math.round) as unknown as Vec3
  const centre = toWorld(indexToWorld, index)
  return { index, offMm: Math.hypot(centre[0] - world[0], centre[1] - world[1], centre[2] - world[2]) }
}

const at = ({ data, shape }: Volume, [i, j, k]: Vec3): number =>
  data[i + shape[0] * (j + shape[1] * k)] as number
