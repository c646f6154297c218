import {
  add,
  angleDeg,
  cross,
  dot,
  fromFrame,
  length,
  type Mat4,
  normalize,
  scale,
  subtract,
  type Vec3,
} from '@alveometer/core'
import type { SliceHeader } from '../headers/index.js'
import { mm, type ReportEntry, warn } from '../report/index.js'
import type { SteppedLine } from './line.js'
import { checkPresence } from './presence.js'
import { checkSteps, notAVolume, sidewaysMm, toleranceMm } from './steps.js'

/** Where one slice goes in the box. */
export interface SlicePlacement {
  readonly header: SliceHeader
  /** Index of its plane in the box. */
  readonly k: number
  /** Where its first voxel lies in that plane, in voxels of the box; whole numbers unless the stack is resampled. */
  readonly shift: readonly [i: number, j: number]
}

/** The box the slices fill, in patient space. Planes that no slice is placed in hold no data. */
export interface StackGeometry {
  /** In stacking order, along the slice normal. */
  readonly slices: readonly SlicePlacement[]
  /** Columns and rows of a slice; the box may be larger. */
  readonly sliceShape: readonly [columns: number, rows: number]
  readonly shape: Vec3
  readonly spacingMm: Vec3
  readonly indexToWorld: Mat4
  /** True when slices are moved sideways by parts of a voxel to lie straight. */
  readonly resampled: boolean
}

/** Beyond this the stack is a sheared box. Over a jaw of 100 mm it moves the last slice by 0.17 mm. */
const TILT_DEG = 0.1

/**
 * Places every slice by its own Image Position and Image Orientation (Patient) and checks that together they fill a
 * box with one step. A tilted or sheared stack becomes a straight box in which every slice lies at its true position.
 * Slice Location, Slice Thickness, Spacing Between Slices and Instance Number are not looked at.
 */
export function stackGeometry(headers: readonly SliceHeader[]): {
  readonly geometry: StackGeometry | null
  readonly report: readonly ReportEntry[]
} {
  const missing = checkPresence(headers)
  const first = headers[0]
  if (missing.length > 0 || !first?.rowDirection || !first.columnDirection || !first.pixelSpacingMm)
    return { geometry: null, report: missing }
  const names = headers.map((h) => h.slice)
  if (headers.length < 2) return { geometry: null, report: [notAVolume(names)] }
  const row = normalize(first.rowDirection)
  const column = normalize(first.columnDirection)
  const axes: Axes = { row, column, normal: normalize(cross(row, column)) }
  const place = (h: SliceHeader) => dot(h.position as Vec3, axes.normal)
  const sorted = [...headers].sort((a, b) => place(a) - place(b))
  const positions = sorted.map((h) => h.position as Vec3)
  const { line, places, report } = checkSteps(
    positions,
    axes.normal,
    sorted.map((h) => h.slice),
  )
  if (!line || report.some((r) => r.level === 'block'))
    return { geometry: null, report: report.map((entry) => namingTilt(entry, positions, axes.normal)) }
  const points = positions.map((point, i) => ({ point, k: places[i] as number }))
  const tiltDeg = angleDeg(line.step, axes.normal)
  const sideways = Math.max(...sidewaysMm(line, points, axes.normal))
  const straight = tiltDeg <= TILT_DEG && sideways <= toleranceMm(length(line.step))
  const slices = sorted.map((header, i) => ({
    header,
    k: places[i] as number,
    position: positions[i] as Vec3,
  }))
  const geometry = straight ? straightBox(slices, axes, line, first) : resampledBox(slices, axes, line, first)
  return { geometry, report: straight ? report : [...report, resampled(tiltDeg, sideways)] }
}

interface Axes {
  readonly row: Vec3
  readonly column: Vec3
  readonly normal: Vec3
}

interface PlacedSlice {
  readonly header: SliceHeader
  readonly k: number
  readonly position: Vec3
}

function straightBox(
  slices: readonly PlacedSlice[],
  { row, column }: Axes,
  { origin, step }: SteppedLine,
  { layout, pixelSpacingMm }: SliceHeader,
): StackGeometry {
  const [rowSpacing, columnSpacing] = pixelSpacingMm as readonly [number, number]
  return {
    slices: slices.map(({ header, k }) => ({ header, k, shift: [0, 0] })),
    sliceShape: [layout.columns, layout.rows],
    shape: [layout.columns, layout.rows, (slices.at(-1) as PlacedSlice).k + 1],
    spacingMm: [columnSpacing, rowSpacing, length(step)],
    // Pixel Spacing names the distance between rows first: it belongs to the column direction (PS3.3 10.7.1.3).
    indexToWorld: fromFrame(scale(row, columnSpacing), scale(column, rowSpacing), step, origin),
    resampled: false,
  }
}

/** A straight box wide enough for all slices, each at its own position in it. */
function resampledBox(
  slices: readonly PlacedSlice[],
  { row, column, normal }: Axes,
  { origin, step }: SteppedLine,
  { layout, pixelSpacingMm }: SliceHeader,
): StackGeometry {
  const [rowSpacing, columnSpacing] = pixelSpacingMm as readonly [number, number]
  const u = slices.map(({ position }) => dot(subtract(position, origin), row) / columnSpacing)
  const v = slices.map(({ position }) => dot(subtract(position, origin), column) / rowSpacing)
  const [u0, v0] = [Math.min(...u), Math.min(...v)]
  // A part of a voxel that is only rounding needs no further column.
  const size = (n: number, shifts: readonly number[], low: number) =>
    n + Math.ceil(Math.max(...shifts) - low - 1e-3)
  const corner = add(add(origin, scale(row, u0 * columnSpacing)), scale(column, v0 * rowSpacing))
  const up = dot(step, normal)
  return {
    slices: slices.map(({ header, k }, i) => ({
      header,
      k,
      shift: [(u[i] as number) - u0, (v[i] as number) - v0],
    })),
    sliceShape: [layout.columns, layout.rows],
    shape: [size(layout.columns, u, u0), size(layout.rows, v, v0), (slices.at(-1) as PlacedSlice).k + 1],
    spacingMm: [columnSpacing, rowSpacing, up],
    indexToWorld: fromFrame(scale(row, columnSpacing), scale(column, rowSpacing), scale(normal, up), corner),
    resampled: true,
  }
}

const leaning = (tiltDeg: number): string =>
  `stacked at ${tiltDeg.toFixed(1)} degrees to their normal (tilted gantry or sheared export)`

/** A stack refused for its steps says as well that it leans. */
function namingTilt(entry: ReportEntry, positions: readonly Vec3[], normal: Vec3): ReportEntry {
  const tiltDeg = angleDeg(subtract(positions.at(-1) as Vec3, positions[0] as Vec3), normal)
  if (entry.code !== 'steps-irregular' || tiltDeg <= TILT_DEG) return entry
  return { ...entry, message: `${entry.message} They are also ${leaning(tiltDeg)}.` }
}

function resampled(tiltDeg: number, sidewaysMm: number): ReportEntry {
  const tilted = tiltDeg > TILT_DEG
  const how = tilted ? leaning(tiltDeg) : `shifted sideways by up to ${mm(sidewaysMm)}`
  const message =
    `The slices are ${how}. Each was moved to its true position in a straight box; grey values between voxels ` +
    'are interpolated, which softens fine edges a little. Ask for a reconstruction without tilt where that matters.'
  return warn(
    'tilt-resampled',
    message,
    [],
    tilted ? { tiltDeg: Number(tiltDeg.toFixed(1)) } : { shiftMm: sidewaysMm },
  )
}
