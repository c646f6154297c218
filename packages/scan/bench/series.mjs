// Synthetic CT series on disk for the benchmarks of loading: seeded noise over simple shapes, the same everywhere.
import { existsSync, mkdirSync, readdirSync, renameSync, statfsSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { createRandom, ctSlice, signedStorage, writeDicom } from '@alveometer/phantom'

/** Columns, rows, slices and voxel edge in mm: a small field, a whole jaw, a large field of fine voxels. */
export const sizes = {
  S: { shape: [400, 400, 300], voxelMm: 0.25 },
  M: { shape: [512, 512, 400], voxelMm: 0.25 },
  L: { shape: [800, 800, 500], voxelMm: 0.2 },
}

/** Signed words that are grey values as they stand, and the 12 bit words with an offset of medical CT. */
export const storages = {
  signed: signedStorage,
  offset: { signed: false, bitsStored: 12, intercept: -1000, padding: 0 },
}

const bytesOf = ([columns, rows, slices]) => 2 * columns * rows * slices

/** "S: 300 slices of 400 x 400 (96 MB)" */
export function describeSize(name) {
  const [columns, rows, slices] = sizes[name].shape
  return `${name}: ${slices} slices of ${columns} x ${rows} (${Math.round(bytesOf(sizes[name].shape) / 1e6)} MB)`
}

/**
 * A series as a folder of files, written on the first call of a run.
 * @param {string} scratch the run's own temporary folder
 * @throws Error where the disk has too little room
 */
export function ensureSeries(scratch, size, storage = 'signed') {
  const folder = join(scratch, `series-${size}-${storage}`)
  const { shape } = sizes[size]
  const series = {
    folder,
    volumeMb: bytesOf(shape) / 1e6,
    paths: () =>
      readdirSync(folder)
        .sort()
        .map((file) => join(folder, file)),
  }
  if (existsSync(folder)) return series
  needRoom(scratch, bytesOf(shape))
  const half = `${folder}.half`
  mkdirSync(half)
  for (const { name, bytes } of files(sizes[size], storages[storage])) writeFileSync(join(half, name), bytes)
  renameSync(half, folder)
  return series
}

/** Headers add little; a tenth more is room enough, and another gigabyte is left to the machine. */
export function needRoom(folder, bytes) {
  const { bavail, bsize } = statfsSync(folder)
  const [free, wanted] = [bavail * bsize, 1.1 * bytes + 1e9]
  if (free < wanted)
    throw new Error(
      `The benchmark of loading needs ${(wanted / 1e9).toFixed(1)} GB at ${folder}; ${(free / 1e9).toFixed(1)} GB are free.`,
    )
}

function* files({ shape, voxelMm }, storage) {
  const [columns, rows, slices] = shape
  const random = createRandom('bench/series')
  const noise = Int16Array.from({ length: 2 ** 20 }, () => Math.round(30 * random.normal()))
  const volume = {
    shape,
    spacingMm: [voxelMm, voxelMm, voxelMm],
    indexToWorld: [voxelMm, 0, 0, 0, 0, voxelMm, 0, 0, 0, 0, voxelMm, 0, -40, -40, 10, 1],
    identity: { seriesUid: '', frameOfReferenceUid: '' },
  }
  const names = {
    seed: 'bench/series',
    patientName: 'Phantom^Bench',
    patientId: 'BENCH',
    seriesDescription: 'Noise and shapes',
  }
  const grey = new Int16Array(columns * rows)
  for (let k = 0; k < slices; k++) {
    drawShapes(grey, columns, rows, k / slices)
    addNoise(grey, noise, Math.floor(noise.length * random.uniform()))
    const PixelData = new Uint8Array(stored(grey, storage).buffer.slice(0))
    yield {
      name: `IM${String(k + 1).padStart(4, '0')}.dcm`,
      bytes: writeDicom({ ...ctSlice(volume, k, storage, names), PixelData }),
    }
  }
}

/** Air, a round head of soft tissue, a ring of bone in it that wanders from slice to slice. */
function drawShapes(grey, columns, rows, height) {
  grey.fill(-900)
  drawDisc(grey, columns, rows, [0.5, 0.5], 0.42, 60)
  const centre = [0.5 + 0.1 * Math.sin(6 * height), 0.5 + 0.1 * Math.cos(6 * height)]
  drawDisc(grey, columns, rows, centre, 0.25, 1400)
  drawDisc(grey, columns, rows, centre, 0.21, 350)
}

/** Centre and radius in parts of the image. */
function drawDisc(grey, columns, rows, [x, y], radius, value) {
  for (let j = 0; j < rows; j++) {
    const half = Math.sqrt(Math.max(0, radius ** 2 - (j / rows - y) ** 2))
    grey.fill(
      value,
      j * columns + Math.round((x - half) * columns),
      j * columns + Math.round((x + half) * columns),
    )
  }
}

function addNoise(grey, noise, start) {
  const mask = noise.length - 1
  for (let p = 0; p < grey.length; p++) grey[p] += noise[(start + p) & mask]
}

function stored(grey, { signed, bitsStored, intercept }) {
  if (signed) return grey
  const most = 2 ** bitsStored - 1
  return Uint16Array.from(grey, (value) => Math.min(most, Math.max(0, value - intercept)))
}
