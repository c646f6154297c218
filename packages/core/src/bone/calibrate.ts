import { distance, type Vec3 } from '../space/index.js'
import type { Volume } from '../volume/index.js'
import type { CoarseField } from './coarse.js'
import { fitPlate, type PlateFit } from './edge-fit.js'
import type { TissueLevels } from './levels.js'
import type { DiscProfile } from './profile.js'
import { assumedProfileNoise, type ProfileNoise, profileNoise } from './profile-noise.js'
import { type SoftTissue, softTissue } from './soft-tissue.js'
import { halfSampleMode, median } from './statistics.js'
import { surfaceSites } from './surface-sites.js'

/** What a scan tells about its own grey levels and sharpness. Grey values are the scan's own, not HU. */
export interface ScanCalibration {
  /** Level of what lies just outside bone (gum; air for a dry skull). */
  readonly softGrey: number
  /** Plateau of thick cortical bone. */
  readonly cortexGrey: number
  /** Sigma of the effective Gaussian point spread, mm; the sampler's own blur is not included. */
  readonly psfSigmaMm: number
  /** SD of the voxel noise in soft tissue. */
  readonly noiseSd: number
  /** Correlation of the noise of neighbouring voxels, 0 for white noise. */
  readonly noiseCorrelation: number
  /** Radius of the discs over which profiles across the surface are averaged, mm. */
  readonly discRadiusMm: number
  /** Autocovariance of the noise of such a profile; assumed from noiseSd where no even tissue was found. */
  readonly profileNoise: ProfileNoise
  /** False when fewer than 30 thick cortical sites exist: the cortical level and the sigma are then fallbacks. */
  readonly thickCortex: boolean
  /** Number of the thick cortical sites. */
  readonly sites: number
}

const LEAST_THICK_SITES = 30
const START_SIGMA_MM = 0.25
/** Noise that neighbouring voxels share averages out less: a wider disc. */
const CORRELATED = 0.25
const LOCAL_MM = 15

/** What a blurred plate told at one place of the outer surface, in index space. */
export interface SoftSite {
  readonly index: Vec3
  readonly outsideGrey: number
}

/** The same for thick cortex; sigma of the point spread without the sampler's blur. */
export interface ThickSite {
  readonly index: Vec3
  readonly cortexGrey: number
  readonly psfSigmaMm: number
}

export interface CalibrationRun {
  readonly calibration: ScanCalibration
  readonly softSites: readonly SoftSite[]
  readonly thickSites: readonly ThickSite[]
}

/** Calibration from the scan alone: fits of blurred plates at many places of the outer surface, thick ones kept. */
export function calibrateScan(volume: Volume, field: CoarseField, levels: TissueLevels): CalibrationRun {
  const tissue = softTissue(volume, field, levels)
  const samplerSigma2 = meanSpacing(volume) ** 2 / 6
  const sites = surfaceSites(volume, field, levels)
  let { softGrey, cortexGrey } = levels
  let sigma = Math.hypot(START_SIGMA_MM, Math.sqrt(samplerSigma2))
  let softSites: SoftSite[] = []
  let thick: { index: Vec3; fit: PlateFit }[] = []
  let enough = false
  for (let turn = 0; turn < 2; turn++) {
    const fits = sites.map(({ index, profile }) => ({
      index,
      fit: fitSite(profile, softGrey, cortexGrey, sigma, tissue.noiseSd),
    }))
    softSites = fits.map(({ index, fit }) => ({ index, outsideGrey: fit.outsideGrey }))
    softGrey = sites.length > 0 ? median(softSites.map((s) => s.outsideGrey)) : softGrey
    thick = fits.flatMap(({ index, fit }, n) =>
      isThickCortex(fit, softGrey, levels.cortexGrey)
        ? [{ index, fit: fitOuterFace(sites[n].profile, fit, softGrey, tissue.noiseSd) }]
        : [],
    )
    enough = thick.length >= LEAST_THICK_SITES
    if (!enough) break
    cortexGrey = halfSampleMode(thick.map(({ fit }) => fit.cortexGrey))
    thick = thick.filter(({ fit }) => Math.abs(fit.cortexGrey - cortexGrey) < 0.15 * (cortexGrey - softGrey))
    cortexGrey = median(thick.map(({ fit }) => fit.cortexGrey))
    sigma = median(thick.map(({ fit }) => fit.sigmaMm))
  }
  const withoutSampler = (sigmaMm: number) => Math.sqrt(Math.max(sigmaMm ** 2 - samplerSigma2, 0.05 ** 2))
  return {
    calibration: {
      softGrey,
      cortexGrey,
      psfSigmaMm: enough ? withoutSampler(sigma) : START_SIGMA_MM,
      ...noiseOf(volume, tissue),
      thickCortex: enough,
      sites: thick.length,
    },
    softSites,
    thickSites: enough
      ? thick.map(({ index, fit }) => ({
          index,
          cortexGrey: fit.cortexGrey,
          psfSigmaMm: withoutSampler(fit.sigmaMm),
        }))
      : [],
  }
}

type Noise = Pick<ScanCalibration, 'noiseSd' | 'noiseCorrelation' | 'discRadiusMm' | 'profileNoise'>

function noiseOf(volume: Volume, { noiseSd, neighbourCorrelation, evenPlaces }: SoftTissue): Noise {
  const narrow = neighbourCorrelation > CORRELATED ? 0.7 : 0.5
  const discRadiusMm = Math.max(narrow, 1.5 * meanSpacing(volume))
  return {
    noiseSd,
    noiseCorrelation: neighbourCorrelation,
    discRadiusMm,
    profileNoise: profileNoise(volume, evenPlaces, discRadiusMm) ?? assumedProfileNoise(noiseSd),
  }
}

const meanSpacing = ({ spacingMm: [x, y, z] }: Volume): number => Math.cbrt(x * y * z)

/**
 * The cortical level and the sharpness near a place: those of the thick sites within 15 mm where there are 30, else the
 * scan's. A cone-beam scan is not equally sharp, nor equally bright, everywhere.
 */
export function localCalibration(
  {
    calibration,
    thickSites,
    volume,
  }: Pick<CalibrationRun, 'calibration' | 'thickSites'> & { volume: Volume },
  index: Vec3,
): Pick<ScanCalibration, 'cortexGrey' | 'psfSigmaMm'> {
  const inMm = (v: Vec3): Vec3 => [
    v[0] * volume.spacingMm[0],
    v[1] * volume.spacingMm[1],
    v[2] * volume.spacingMm[2],
  ]
  const here = inMm(index)
  const near = thickSites.filter((site) => distance(inMm(site.index), here) <= LOCAL_MM)
  if (near.length < LEAST_THICK_SITES) return calibration
  return {
    cortexGrey: median(near.map((site) => site.cortexGrey)),
    psfSigmaMm: median(near.map((site) => site.psfSigmaMm)),
  }
}

/**
 * A plateau of bone between marrow and soft tissue. Enamel (brighter behind than in front), air beyond and faint edges
 * fail; dentine under gum may pass, which is why the densest group of levels is taken, not the middle.
 */
function isThickCortex(fit: PlateFit, softGrey: number, cortexGrey: number): boolean {
  const contrast = cortexGrey - softGrey
  return (
    fit.thicknessMm > 4.5 * fit.sigmaMm &&
    fit.thicknessMm < 3.4 &&
    fit.cortexGrey > softGrey + 0.5 * contrast &&
    fit.innerGrey < fit.cortexGrey - 0.1 * contrast &&
    Math.abs(fit.outsideGrey - softGrey) < 0.2 * contrast
  )
}

/**
 * A thick plate fitted again to its outer half alone: the inner face is rarely parallel to the outer one, and seen
 * aslant through a disc it would pass for more blur.
 */
function fitOuterFace(
  { positionsMm, greys }: DiscProfile,
  fit: PlateFit,
  softGrey: number,
  noiseSd: number,
): PlateFit {
  const contrast = fit.cortexGrey - softGrey
  const weights = positionsMm.map((x) => (x < fit.outerMm - fit.thicknessMm / 2 ? 0 : 1))
  const held = (value: number) => ({ value, sd: 0 })
  return fitPlate(
    positionsMm,
    greys,
    weights,
    profileNoiseSd(noiseSd, contrast),
    {
      outerMm: { value: fit.outerMm, sd: Number.POSITIVE_INFINITY },
      thicknessMm: held(fit.thicknessMm),
      innerGrey: held(fit.innerGrey),
      outsideGrey: { value: fit.outsideGrey, sd: 0.08 * contrast },
      cortexGrey: { value: fit.cortexGrey, sd: 0.25 * contrast },
      sigmaMm: { value: fit.sigmaMm, sd: 0.25 * fit.sigmaMm },
    },
    [fit],
  )
}

/** Of the samples of a disc profile, roughly: what it really is is measured later. */
const profileNoiseSd = (noiseSd: number, contrast: number): number =>
  Math.max(noiseSd / 2.5, 0.005 * contrast)

function fitSite(
  profile: DiscProfile,
  softGrey: number,
  cortexGrey: number,
  sigmaMm: number,
  noiseSd: number,
): PlateFit {
  const contrast = cortexGrey - softGrey
  const weights = new Float64Array(profile.greys.length).fill(1)
  return fitPlate(
    profile.positionsMm,
    profile.greys,
    weights,
    profileNoiseSd(noiseSd, contrast),
    {
      outerMm: { value: -0.3, sd: Number.POSITIVE_INFINITY },
      thicknessMm: { value: 1, sd: Number.POSITIVE_INFINITY },
      innerGrey: { value: softGrey + 0.25 * contrast, sd: 0.2 * contrast },
      outsideGrey: { value: softGrey, sd: 0.08 * contrast },
      cortexGrey: { value: cortexGrey, sd: 0.25 * contrast },
      sigmaMm: { value: sigmaMm, sd: 0.25 * sigmaMm },
    },
    [0.7, 1.8],
  )
}
