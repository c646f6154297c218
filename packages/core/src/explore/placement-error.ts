import type { PlacementError } from './miss-cloud-result.js'

/** Mean length of three independent normals over their common SD (Maxwell): 2 sqrt(2 / pi), 1.596. */
export const MAXWELL_MEAN = 2 * Math.sqrt(2 / Math.PI)
/** Mean length of two independent normals over their common SD (Rayleigh): sqrt(pi / 2), 1.2533. */
export const RAYLEIGH_MEAN = Math.sqrt(Math.PI / 2)

/** Larger is not a placement of this plan any more. Own choice: several times what is published for any method. */
const GREATEST_ENTRY_SD_MM = 10
const GREATEST_TILT_SD_DEG = 30

const evenly = (sdMm: number): PlacementError['entrySdMm'] => ({ facial: sdMm, mesial: sdMm, apical: sdMm })

/**
 * Through a guide. Mean entry error 1.2 mm and angle 3.5 degrees, pooled from 20 studies. Turned about their entry with no
 * correlation, fixtures of 10 to 11 mm then miss by 1.36 to 1.39 mm at the apex; pooled were 1.4 mm. Single studies of single
 * teeth miss by more at the apex than that: 0.97 mm, 2.84 degrees and 1.28 mm (Kaewsiri 2019, COIR) take a correlation of
 * 0.5, as of a fixture that turns about its sleeve.
 */
export const guidedError = (): PlacementError => ({
  kind: 'guided',
  entrySdMm: evenly(0.752),
  tiltSdDeg: 2.79,
  correlation: 0,
  source:
    'static guides, pooled: mean 1.2 mm at entry, 3.5 degrees (Tahmaseb 2018, COIR 29(Suppl 16):416), as normal distributions with these means, the same in all directions',
})

/**
 * By eye. Mean absolute errors 0.87 mm mesiodistal, 0.70 mm facial-oral, 0.95 mm apicocoronal (of half normals: 0.798 SD),
 * mean angle 8.7 degrees, 52 single sites. No apex error was published with them; another 112 placements by eye (mean
 * 1.22 mm at entry, 7.93 degrees, 1.91 mm at the apex: J Prosthodont 2019 28:511) fit a turn about the entry with no
 * correlation.
 */
export const freehandError = (): PlacementError => ({
  kind: 'freehand',
  entrySdMm: { facial: 0.88, mesial: 1.09, apical: 1.19 },
  tiltSdDeg: 6.94,
  correlation: 0,
  source:
    'freehand, single sites: mean 0.87 mm mesiodistal, 0.70 mm facial-oral, 0.95 mm apicocoronal, 8.7 degrees (Schnutenhaus 2021, Dent J 9:54), as normal distributions with these means',
})

/** A person's own figures: the mean or the SD of the entry's distance, and of the angle. */
export type OwnErrorSizes = (
  | { readonly entryMeanMm: number }
  | {
      /** Of each of the three directions. */
      readonly entrySdMm: number
    }
) &
  ({ readonly angleMeanDeg: number } | { readonly tiltSdDeg: number }) & {
    /** See PlacementError; 0 when absent. */
    readonly correlation?: number
  }

/**
 * A person's own error, the same in all directions.
 * @throws RangeError as checkPlacementError.
 */
export function ownError(sizes: OwnErrorSizes): PlacementError {
  const entrySdMm = 'entryMeanMm' in sizes ? sizes.entryMeanMm / MAXWELL_MEAN : sizes.entrySdMm
  const tiltSdDeg = 'angleMeanDeg' in sizes ? sizes.angleMeanDeg / RAYLEIGH_MEAN : sizes.tiltSdDeg
  return checkPlacementError({
    kind: 'own',
    entrySdMm: evenly(entrySdMm),
    tiltSdDeg,
    correlation: sizes.correlation ?? 0,
    source: 'own figures',
  })
}

/** @throws RangeError naming the field: an SD below 0, or larger than any placement's, a correlation outside -1 to 1. */
export function checkPlacementError(error: PlacementError): PlacementError {
  for (const [axis, sdMm] of Object.entries(error.entrySdMm))
    check(`entrySdMm.${axis}`, sdMm, 0, GREATEST_ENTRY_SD_MM)
  check('tiltSdDeg', error.tiltSdDeg, 0, GREATEST_TILT_SD_DEG)
  check('correlation', error.correlation, -1, 1)
  return error
}

function check(name: string, value: number, least: number, greatest: number): void {
  if (!(value >= least && value <= greatest))
    throw new RangeError(`placement error: ${name} must lie between ${least} and ${greatest}, got ${value}`)
}
