import type { Vec3 } from '../space/index.js'
import type { Volume } from '../volume/index.js'
import type { CoarseField } from './coarse.js'
import { fitPlate, type PlateFit } from './edge-fit.js'
import { OUTSIDE } from './exterior.js'
import { type TissueLevels, toAirMm } from './levels.js'
import type { DiscProfile } from './profile.js'
import { halfSampleMode, median, robustSd } from './statistics.js'
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
  /** False when fewer than 30 thick cortical sites exist: the cortical level and the sigma are then fallbacks. */
  readonly thickCortex: boolean
  readonly sites: number
}

const LEAST_THICK_SITES = 30
const START_SIGMA_MM = 0.25

/** The level found just outside bone at one place, in index space. */
export interface SoftSite {
  readonly index: Vec3
  readonly outsideGrey: number
}

export interface CalibrationRun {
  readonly calibration: ScanCalibration
  readonly softSites: readonly SoftSite[]
}

/** Calibration from the scan alone: fits of blurred plates at many places of the outer surface, thick ones kept. */
export function calibrate(volume: Volume, field: CoarseField, levels: TissueLevels): CalibrationRun {
  const noiseSd = softNoiseSd(volume, field, levels)
  const meanSpacing = Math.cbrt(volume.spacingMm[0] * volume.spacingMm[1] * volume.spacingMm[2])
  const samplerSigma2 = meanSpacing ** 2 / 6
  const sites = surfaceSites(volume, field, levels)
  let { softGrey, cortexGrey } = levels
  let sigma = Math.hypot(START_SIGMA_MM, Math.sqrt(samplerSigma2))
  let thick: PlateFit[] = []
  let softSites: SoftSite[] = []
  for (let turn = 0; turn < 2; turn++) {
    const fits = sites.map(({ profile }) => fitSite(profile, softGrey, cortexGrey, sigma, noiseSd))
    softSites = sites.map(({ index }, n) => ({ index, outsideGrey: (fits[n] as PlateFit).outsideGrey }))
    softGrey = sites.length > 0 ? median(softSites.map((s) => s.outsideGrey)) : softGrey
    thick = fits.filter((fit) => isThickCortex(fit, softGrey, levels.cortexGrey))
    if (thick.length < LEAST_THICK_SITES) break
    cortexGrey = halfSampleMode(thick.map((f) => f.cortexGrey))
    const typical = thick.filter((f) => Math.abs(f.cortexGrey - cortexGrey) < 0.15 * (cortexGrey - softGrey))
    cortexGrey = median(typical.map((f) => f.cortexGrey))
    sigma = median(typical.map((f) => f.sigmaMm))
  }
  const thickCortex = thick.length >= LEAST_THICK_SITES
  const psfSigmaMm = thickCortex ? Math.sqrt(Math.max(sigma ** 2 - samplerSigma2, 0.05 ** 2)) : START_SIGMA_MM
  return {
    calibration: { softGrey, cortexGrey, psfSigmaMm, noiseSd, thickCortex, sites: thick.length },
    softSites,
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

/** Noise of the voxels just outside bone and away from air: the median of robust SDs in blocks of 3 mm. */
function softNoiseSd(volume: Volume, field: CoarseField, levels: TissueLevels): number {
  const airMm = toAirMm(field, levels.softGrey, levels.cortexGrey)
  const blocks = new Map<number, number[]>()
  const [nx, ny] = field.shape
  for (let n = 0; n < levels.toBoneMm.length; n++) {
    const d = levels.toBoneMm[n]
    if (levels.exterior.cells[n] !== OUTSIDE || d < 0.8 || d > 3 || airMm[n] < 0.8) continue
    const i = n % nx
    const j = Math.floor(n / nx) % ny
    const k = Math.floor(n / (nx * ny))
    const v = voxelAt(volume, i * field.step[0], j * field.step[1], k * field.step[2])
    if (v === volume.noData) continue
    const block = Math.floor(i / 10) + 1000 * (Math.floor(j / 10) + 1000 * Math.floor(k / 10))
    const list = blocks.get(block)
    if (list === undefined) blocks.set(block, [v])
    else list.push(v)
  }
  const local = [...blocks.values()].filter((list) => list.length >= 30).map(robustSd)
  return local.length > 0 ? Math.max(1, median(local)) : 0.03 * (levels.cortexGrey - levels.softGrey)
}

function voxelAt(volume: Volume, i: number, j: number, k: number): number {
  const at = [i, j, k].map((v, a) => Math.min(volume.shape[a] - 1, Math.round(v)))
  return volume.data[volume.offset + at.reduce((sum, v, a) => sum + v * volume.stride[a], 0)] as number
}

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
    Math.max(noiseSd / 2.5, 0.005 * contrast),
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
