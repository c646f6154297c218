import {
  angleDeg,
  cross,
  dot,
  fromFrame,
  length,
  type Mat4,
  normalize,
  scale,
  type Vec3,
} from '@alveometer/core'
import type { SliceHeader } from '../headers/index.js'
import { block, count, nameFiles, type ReportEntry } from '../report/index.js'
import { checkSteps } from './steps.js'

/** The box the slices fill, in patient space. */
export interface StackGeometry {
  /** Slices in stacking order, along the slice normal. */
  readonly headers: readonly SliceHeader[]
  readonly shape: Vec3
  readonly spacingMm: Vec3
  readonly indexToWorld: Mat4
}

/** Beyond this the stack is a sheared box. Over a jaw of 100 mm it moves the last slice by 0.17 mm. */
const TILT_DEG = 0.1
// Six decimals of a direction cosine leave 1e-6; a few devices write four.
const UNIT_TOLERANCE = 1e-3

/**
 * Places every slice by its own Image Position and Image Orientation (Patient) and checks that together they fill a
 * box with one step. Slice Location, Slice Thickness, Spacing Between Slices and Instance Number are not looked at.
 */
export function stackGeometry(slices: readonly SliceHeader[]): {
  readonly geometry: StackGeometry | null
  readonly report: readonly ReportEntry[]
} {
  const missing = checkPresence(slices)
  const first = slices[0]
  if (missing.length > 0 || !first?.rowDirection || !first.columnDirection || !first.pixelSpacingMm)
    return { geometry: null, report: missing }
  const row = normalize(first.rowDirection)
  const column = normalize(first.columnDirection)
  const normal = normalize(cross(row, column))
  const place = (h: SliceHeader) => dot(h.position as Vec3, normal)
  const headers = [...slices].sort((a, b) => place(a) - place(b))
  const shape: Vec3 = [first.layout.columns, first.layout.rows, headers.length]
  const positions = headers.map((h) => h.position as Vec3)
  const files = headers.map((h) => h.slice)
  const { origin, step, report } = checkSteps(positions, normal, files)
  if (!origin || !step) return { geometry: null, report }
  const tilt = angleDeg(step, normal)
  if (tilt > TILT_DEG) return { geometry: null, report: [...report, tilted(tilt)] }
  if (report.some((r) => r.level === 'block')) return { geometry: null, report }
  const [rowSpacing, columnSpacing] = first.pixelSpacingMm
  // Pixel Spacing names the distance between rows first: it belongs to the column direction (PS3.3 10.7.1.3).
  const indexToWorld = fromFrame(scale(row, columnSpacing), scale(column, rowSpacing), step, origin)
  const spacingMm: Vec3 = [columnSpacing, rowSpacing, length(step)]
  return { geometry: { headers, shape, spacingMm, indexToWorld }, report }
}

function checkPresence(slices: readonly SliceHeader[]): ReportEntry[] {
  const report: ReportEntry[] = []
  const need = (code: string, what: string, has: (h: SliceHeader) => boolean) => {
    const bad = slices.filter((h) => !has(h)).map((h) => h.slice)
    if (bad.length === 0) return
    const all = bad.length === slices.length ? ` (as all ${count(bad.length, 'image')} of the series)` : ''
    const message = `${nameFiles(bad)}${all}: ${what}, so nothing can be measured. Export the series again as CT images.`
    report.push(block(code, message, bad))
  }
  need('position-missing', 'Image Position (Patient) is missing', (h) => h.position !== null)
  need('orientation-missing', 'Image Orientation (Patient) is missing', (h) => h.rowDirection !== null)
  need('spacing-missing', 'Pixel Spacing is missing', (h) => h.pixelSpacingMm !== null)
  need('bad-spacing', 'Pixel Spacing cannot be right', (h) => h.pixelSpacingMm?.every(isPlausible) ?? true)
  need('bad-orientation', 'Image Orientation (Patient) is not two perpendicular directions', isFrame)
  return report
}

// Micro-CT goes down to some micrometres, survey scans up to a few millimetres. Beyond, the number is not millimetres.
const isPlausible = (spacingMm: number) => spacingMm >= 0.001 && spacingMm <= 50

function isFrame({ rowDirection: row, columnDirection: column }: SliceHeader): boolean {
  if (!row || !column) return true
  const unit = (v: Vec3) => Math.abs(length(v) - 1) < UNIT_TOLERANCE
  return unit(row) && unit(column) && Math.abs(dot(row, column)) < UNIT_TOLERANCE
}

const tilted = (deg: number): ReportEntry =>
  block(
    'tilted-stack',
    `The slices are stacked at ${deg.toFixed(1)} degrees to their normal (tilted gantry or sheared export). ` +
      'Ask for a reconstruction without tilt, or resample the series to a straight box.',
  )
