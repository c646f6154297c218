import type { GreyUnit } from '@alveometer/core'
import type { SliceHeader } from '../headers/index.js'
import { block, nameFiles, note, type ReportEntry, warn } from '../report/index.js'

/** grey = slope x stored + intercept, for one slice. */
export interface Rescale {
  readonly slope: number
  readonly intercept: number
}

/** Beyond it, 16 bit voxels leave what single precision can hold apart; no scanner comes near. */
const LARGEST_RESCALE = 1e9

export const IDENTITY: Rescale = { slope: 1, intercept: 0 }

/** The rescale of one slice; identity unless slope and intercept are both there. */
export const rescaleOf = ({ rescaleSlope, rescaleIntercept }: SliceHeader): Rescale =>
  rescaleSlope === null || rescaleIntercept === null
    ? IDENTITY
    : { slope: rescaleSlope, intercept: rescaleIntercept }

/**
 * What the grey values of a series may be called. HU only when every slice says Rescale Type HU, or is a CT image with
 * a rescale and no type, for which PS3.3 C.8.2.1 makes HU the meaning. Even then they are the device's own claim.
 */
export function greyUnit(headers: readonly SliceHeader[]): GreyUnit {
  const claimsHu = (h: SliceHeader) =>
    h.rescaleType === null
      ? h.modality === 'CT' && h.rescaleSlope !== null && h.rescaleIntercept !== null
      : h.rescaleType.toUpperCase() === 'HU'
  return headers.length > 0 && headers.every(claimsHu)
    ? 'HU as written by the device, not calibrated'
    : 'grey value'
}

/** Findings about the way from stored numbers to grey values. */
export function checkRescale(headers: readonly SliceHeader[]): ReportEntry[] {
  const report: ReportEntry[] = []
  const names = (bad: readonly SliceHeader[]) => bad.map((h) => h.slice)
  const zero = headers.filter((h) => h.rescaleSlope === 0)
  if (zero.length > 0) {
    const message = `${nameFiles(names(zero))}: Rescale Slope is 0, which makes every grey value the same. Export the series again.`
    report.push(block('rescale-slope-zero', message, names(zero)))
  }
  const wild = headers.filter((h) => Object.values(rescaleOf(h)).some((v) => Math.abs(v) > LARGEST_RESCALE))
  if (wild.length > 0) {
    const message = `${nameFiles(names(wild))}: Rescale Slope or Intercept cannot be right. Export the series again.`
    report.push(block('rescale-implausible', message, names(wild)))
  }
  const table = headers.filter((h) => h.hasModalityLut)
  if (table.length > 0) {
    const message = `${nameFiles(names(table))}: grey values are given by a Modality LUT, which is not read. Export as CT images.`
    report.push(block('modality-lut', message, names(table)))
  }
  const missing = headers.filter((h) => h.rescaleSlope === null || h.rescaleIntercept === null)
  if (missing.length === headers.length)
    report.push(
      warn(
        'rescale-missing',
        'The files give no rescale: values are grey values as stored, not Hounsfield units. Export the series again if densities matter.',
      ),
    )
  else if (missing.length > 0) {
    const message = `${nameFiles(names(missing))}: no rescale, while the other slices have one. Export the series again.`
    report.push(block('rescale-missing-in-some', message, names(missing)))
  }
  const distinct = new Set(headers.map((h) => JSON.stringify(rescaleOf(h))))
  if (missing.length === 0 && distinct.size > 1)
    report.push(
      note('rescale-varies', `The slices have ${distinct.size} different rescales; each was given its own.`),
    )
  if (headers.some((h) => h.layout.photometric === 'MONOCHROME1'))
    report.push(
      note('inverted-display', 'Meant to be shown inverted (MONOCHROME1); the grey values are unchanged.'),
    )
  return report
}
