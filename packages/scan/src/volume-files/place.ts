import { fromFrame, type Mat4, type Vec3 } from '@alveometer/core'
import type { Directions, VolumeFileHeader } from './header.js'
import { stepsOf } from './placement.js'

/** What a person confirmed. */
export interface ConfirmedAxes {
  /** Distance between rows and between columns, mm, in the order of Pixel Spacing. */
  readonly pixelSpacingMm?: readonly [rowSpacing: number, columnSpacing: number]
  /** Distance from slice to slice, mm. */
  readonly sliceStepMm?: number
  /** Unit directions, LPS, in which the first, the second and the third index increase. */
  readonly orientation?: { readonly row: Vec3; readonly column: Vec3; readonly slice: Vec3 }
}

export interface PlacedVolume {
  readonly spacingMm: Vec3
  /** Index to LPS mm, voxel centres. */
  readonly indexToWorld: Mat4
}

/**
 * The geometry of a header with its gaps filled from what a person confirmed; what the file says itself is never
 * replaced. Null while a question is open. Without a position the first voxel lies at (0, 0, 0).
 */
export function placeVolumeFile(header: VolumeFileHeader, answers: ConfirmedAxes = {}): PlacedVolume | null {
  const { spacingMm, indexToWorld } = header
  if (spacingMm && indexToWorld) return { spacingMm, indexToWorld }
  const spacing = spacingMm ?? confirmedSpacing(answers)
  const directions = header.directions ?? confirmedDirections(answers)
  if (!spacing || !directions) return null
  const steps = stepsOf(directions, spacing)
  return { spacingMm: spacing, indexToWorld: fromFrame(...steps, header.originMm ?? [0, 0, 0]) }
}

/** Pixel Spacing names the distance between rows first: it belongs to the second axis. */
const confirmedSpacing = ({ pixelSpacingMm, sliceStepMm }: ConfirmedAxes): Vec3 | null =>
  pixelSpacingMm && sliceStepMm !== undefined ? [pixelSpacingMm[1], pixelSpacingMm[0], sliceStepMm] : null

const confirmedDirections = ({ orientation }: ConfirmedAxes): Directions | null =>
  orientation ? [orientation.row, orientation.column, orientation.slice] : null
