import { column, scale, toWorld, type Vec3, type Volume } from '@alveometer/core'
import type { Dataset } from './dataset.js'
import type { Storage } from './storage.js'

/** Functional group macros that hold geometry and grey scale (PS3.3 C.7.6.16.2). */
export type MacroName = 'pixelMeasures' | 'planePosition' | 'planeOrientation' | 'rescale' | 'frameVoiLut'

/** The attributes of each macro for one slice; single-frame images have the same at the top of the data set. */
export type FrameMacros = Readonly<Record<MacroName, Dataset>>

/** Hounsfield units, or unspecified (PS3.3 C.11.1.1.2). */
export type RescaleType = 'HU' | 'US'

/** The macros of slice k of a volume; index x becomes columns, y rows. */
export function frameMacros(
  volume: Volume,
  k: number,
  storage: Storage,
  rescaleType: RescaleType = 'US',
): FrameMacros {
  const { spacingMm, indexToWorld } = volume
  return {
    pixelMeasures: {
      SliceThickness: spacingMm[2],
      PixelSpacing: [round(spacingMm[1]), round(spacingMm[0])],
    },
    planePosition: { ImagePositionPatient: toWorld(indexToWorld, [0, 0, k]).map(round) },
    planeOrientation: { ImageOrientationPatient: rowAndColumn(volume).flat().map(round) },
    rescale: { RescaleIntercept: storage.intercept, RescaleSlope: 1, RescaleType: rescaleType },
    frameVoiLut: { WindowCenter: 1000, WindowWidth: 4000 },
  }
}

/** Unit directions of rising column and rising row index. */
export const rowAndColumn = ({ indexToWorld, spacingMm }: Volume): [Vec3, Vec3] => [
  scale(column(indexToWorld, 0), 1 / spacingMm[0]),
  scale(column(indexToWorld, 1), 1 / spacingMm[1]),
]

/** Ten decimals: what rounding noise adds to 0.2 x 3 is dropped, what a direction cosine needs is kept. */
export const round = (v: number): number => Math.round(v * 1e10) / 1e10
