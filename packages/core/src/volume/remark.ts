import type { Vec3 } from '../space/index.js'

/**
 * Something about a scan that whoever reads a number measured on it should know. `warn`: keep it in sight; `note`: for
 * the record. Holds no name of a file or a person.
 */
export interface ScanRemark {
  readonly level: 'warn' | 'note'
  /** Stable, such as `slices-missing`. */
  readonly code: string
  /** One sentence or two for people. */
  readonly text: string
  /** Numbers and words worth keeping beside the text. */
  readonly facts?: Readonly<Record<string, number | string>>
}

/** A part of a scan's geometry that its file may fail to give. */
export type GeometryPart = 'pixel-spacing' | 'slice-step' | 'orientation'

/**
 * How a person confirmed a part of the geometry: by a length known in the picture, by typing it, by accepting what
 * another place of the header says, or by choosing among views.
 */
export type Confirmation = 'known-length' | 'typed' | 'from-header' | 'chosen'

/** What of a scan's geometry a person confirmed because the file did not give it. */
export interface ConfirmedGeometry {
  /** [mm between rows, mm between columns]. */
  readonly pixelSpacingMm?: readonly [rowSpacing: number, columnSpacing: number]
  readonly sliceStepMm?: number
  /** LPS unit directions of increasing column index, row index and slice index. */
  readonly orientation?: { readonly row: Vec3; readonly column: Vec3; readonly slice: Vec3 }
  readonly how: Readonly<Partial<Record<GeometryPart, Confirmation>>>
}
