import { type BoneModel, fastMargin, refinedMargin, type ScanCalibration } from '@alveometer/core'

export type Mode = 'fast' | 'refined'
export type ByMode<T> = Readonly<Record<Mode, T>>

/** The same done with the library's measurement in each mode. */
export const byMode = <T>(work: (measure: typeof fastMargin) => T): ByMode<T> => ({
  fast: work(fastMargin),
  refined: work(refinedMargin),
})

/** What a scan told about itself. */
export type FoundCalibration = Pick<
  ScanCalibration,
  'softGrey' | 'cortexGrey' | 'psfSigmaMm' | 'noiseSd' | 'thickCortex' | 'sites'
>

export function foundCalibration({ calibration }: BoneModel): FoundCalibration {
  const { softGrey, cortexGrey, psfSigmaMm, noiseSd, thickCortex, sites } = calibration
  return { softGrey, cortexGrey, psfSigmaMm, noiseSd, thickCortex, sites }
}
