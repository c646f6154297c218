import { angleDeg, fromFrame, length, type Mat4, normalize, scale, type Vec3 } from '@alveometer/core'
import { block, FindingError, mm, note, type ReportEntry, warn } from '../report/index.js'
import type { Directions, GivenGeometry, MissingGeometry } from './header.js'

export interface Placement {
  readonly spacingMm: Vec3 | null
  readonly directions: Directions | null
  readonly originMm: Vec3 | null
  readonly indexToWorld: Mat4 | null
  readonly questions: readonly MissingGeometry[]
  readonly report: readonly ReportEntry[]
}

/** As for slices of DICOM: straighter than the eye could tell, and 0.09 mm in 50 mm. */
const SHEAR_DEG = 0.1

/** Micro-CT goes down to some micrometres, survey scans up to a few millimetres. Beyond, the number is not millimetres. */
const SPACING_MM = { least: 0.001, most: 50 }

/** No scanner puts its patient 100 m away. */
const FARTHEST_MM = 1e5

/**
 * Judges what a file says about its geometry.
 * @throws FindingError `bad-spacing`, `sheared-volume` or `bad-number`
 */
export function placementOf(file: string, given: GivenGeometry): Placement {
  const spacingMm = given.steps ? spacingOf(given.steps) : given.spacingMm
  if (spacingMm) checkSpacing(file, spacingMm)
  const directions = given.steps ? unitOf(given.steps) : given.directions
  if (directions) checkStraight(file, directions)
  const origin = given.originMm
  if (origin && !origin.every((c) => Math.abs(c) <= FARTHEST_MM))
    throw new FindingError(
      block('bad-number', `${file}: its position in space cannot be right. Export the volume again.`, [file]),
    )
  const questions: MissingGeometry[] = []
  if (!spacingMm) questions.push('pixel-spacing', 'slice-step')
  if (!directions) questions.push('orientation')
  const report: ReportEntry[] = []
  if (spacingMm?.every((s) => s === 1)) report.push(placeholder(file))
  if (directions && !origin)
    report.push(
      note('origin-assumed', `${file} does not say where its first voxel lies; (0, 0, 0) was taken.`),
    )
  const steps = given.steps ?? (directions && spacingMm ? stepsOf(directions, spacingMm) : null)
  const indexToWorld = steps ? fromFrame(...steps, origin ?? [0, 0, 0]) : null
  return { spacingMm, directions, originMm: origin, indexToWorld, questions, report }
}

export const stepsOf = ([x, y, z]: Directions, spacingMm: Vec3): Directions => [
  scale(x, spacingMm[0]),
  scale(y, spacingMm[1]),
  scale(z, spacingMm[2]),
]

const spacingOf = ([x, y, z]: Directions): Vec3 => [length(x), length(y), length(z)]

const unitOf = ([x, y, z]: Directions): Directions => [normalize(x), normalize(y), normalize(z)]

function checkSpacing(file: string, spacingMm: Vec3): void {
  if (spacingMm.every((s) => s >= SPACING_MM.least && s <= SPACING_MM.most)) return
  const message = `${file}: a voxel size of ${spacingMm.map((s) => Number(s.toPrecision(6))).join(' x ')} mm cannot be right. Export the volume again with its true voxel size.`
  throw new FindingError(block('bad-spacing', message, [file]))
}

function checkStraight(file: string, directions: Directions): void {
  const shear = shearDeg(directions)
  if (shear <= SHEAR_DEG) return
  const message = `${file}: its axes are ${shear.toFixed(1)} degrees off being perpendicular. Resample the volume to a straight box.`
  throw new FindingError(block('sheared-volume', message, [file], { shearDeg: Number(shear.toFixed(2)) }))
}

/** The largest departure from a right angle between two axes. */
export const shearDeg = ([x, y, z]: Directions): number =>
  Math.max(
    ...(
      [
        [x, y],
        [y, z],
        [z, x],
      ] as const
    ).map(([a, b]) => Math.abs(angleDeg(a, b) - 90)),
  )

const placeholder = (file: string): ReportEntry =>
  warn(
    'spacing-placeholder',
    `${file}: voxels of exactly 1 x 1 x 1 mm are often a placeholder. Check a known length before measuring.`,
    [file],
  )

/** @throws FindingError `bad-spacing` where a file gives two voxel sizes that differ by more than a thousandth. */
export function checkSameSpacing(file: string, a: Vec3, b: Vec3): void {
  if (a.every((s, c) => Math.abs(s - (b[c] as number)) <= 0.001 * s)) return
  const text = (v: Vec3) => v.map((s) => mm(s)).join(' x ')
  const message = `${file} gives two different voxel sizes: ${text(a)} and ${text(b)}. Export the volume again with its true voxel size.`
  throw new FindingError(block('bad-spacing', message, [file]))
}

export const unitAssumed = (file: string): ReportEntry =>
  warn(
    'unit-assumed-mm',
    `${file} does not say in which unit its lengths are; millimetres were taken. Check a known length before measuring.`,
    [file],
  )
