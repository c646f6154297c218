import { along, fixtureProfile, scale, surfaceGrid, type Vec3, type Volume } from '@alveometer/core'
import {
  correlatedNoise,
  createRandom,
  cubicGrid,
  discStack,
  type Field,
  gaussianBlur,
  renderField,
  whiteNoise,
} from '@alveometer/phantom'
import { cylinderTruth } from '../truth/cylinder.js'
import { leaningFrame, type RayScene, randomAcross, randomDirection, randomShift } from './scene.js'

export interface ShellPlate {
  readonly outerMm: number
  readonly innerMm: number
  readonly eccentricityMm: number
}

/** R 5 mm, plates of 0.35 to 2.6 mm round the ring. */
export const USUAL_PLATE: ShellPlate = { outerMm: 5, innerMm: 3.525, eccentricityMm: 1.125 }
/** R 5 mm, plates of 0.18 to 2.6 mm. */
export const THIN_PLATE: ShellPlate = { outerMm: 5, innerMm: 3.61, eccentricityMm: 1.21 }

export interface ShellOptions {
  readonly spacingMm: number
  readonly sigmaMm: number
  readonly noiseSd: number
  /** Marrow texture; its correlation is that of white noise blurred by 0.35 mm. */
  readonly textureSd: number
  /** Blur of the noise in voxels; white when absent. */
  readonly noiseSigmaVoxels?: number
  readonly softGrey?: number
  readonly cortexGrey?: number
  readonly marrowGrey?: number
  readonly plate?: ShellPlate
  /** Gum of this thickness and then air; gum without end when absent. */
  readonly gumMm?: number
  /** A ramp of grey across the scan. */
  readonly shadingPerMm?: number
  /** `tall`: the blur is 1.4 times as great along z. `enhancing`: 1.35 G(s) - 0.35 G(2 s). */
  readonly kernel?: 'plain' | 'tall' | 'enhancing'
}

const AIR_GREY = -1000
const TALL = 1.4
const SIZE_MM = 18

/** An eccentric cortical shell in any pose; a fixture of 4 x 6 mm leaning by 10 degrees, 0.9 mm off its axis. */
export function shellScene(options: ShellOptions, seed: string): RayScene {
  const random = createRandom(seed)
  const axis = randomDirection(random)
  const towards = randomAcross(random, axis)
  const origin = randomShift(random, options.spacingMm)
  const plate = options.plate ?? USUAL_PLATE
  const platform = along(along(origin, randomAcross(random, axis), 0.9), axis, -3)
  const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 4, lengthMm: 6 })
  return {
    frame: leaningFrame(random, platform, axis, 10),
    profile,
    grid: surfaceGrid(profile, 8, 48),
    truth: cylinderTruth({ origin, axis, towards, ...plate }),
    volume: shellVolume(options, { origin, axis, towards, plate, shading: randomDirection(random) }, seed),
  }
}

interface ShellPose {
  readonly origin: Vec3
  readonly axis: Vec3
  readonly towards: Vec3
  readonly plate: ShellPlate
  readonly shading: Vec3
}

function shellVolume(options: ShellOptions, pose: ShellPose, seed: string): Volume {
  const { spacingMm, sigmaMm, noiseSd, textureSd, noiseSigmaVoxels = 0, gumMm = 0 } = options
  const n = Math.round((SIZE_MM + (gumMm > 2 ? 4 : 0)) / spacingMm)
  const grid = cubicGrid([n, n, n], spacingMm, [0, 0, 0])
  const added = renderField(shellField(options, pose, sigmaMm), grid, { type: 'float32' })
    .data as Float32Array
  if (options.kernel === 'tall')
    gaussianBlur(added, grid.shape, [0, 0, (sigmaMm * Math.sqrt(TALL ** 2 - 1)) / spacingMm], 'repeat')
  if (textureSd > 0) {
    const texture = correlatedNoise(grid.shape, textureSd, 0.35 / spacingMm, `${seed}/texture`)
    const marrow = renderField(marrowShare(pose, sigmaMm), grid, { type: 'float32' }).data
    for (let i = 0; i < added.length; i++) added[i] += texture[i] * marrow[i]
  }
  const noise =
    noiseSigmaVoxels > 0
      ? correlatedNoise(grid.shape, noiseSd, noiseSigmaVoxels, `${seed}/noise`)
      : whiteNoise(grid.shape, noiseSd, `${seed}/noise`)
  for (let i = 0; i < added.length; i++) added[i] += noise[i]
  return renderField(() => 0, grid, { noise: added })
}

function shellField(options: ShellOptions, pose: ShellPose, sigmaMm: number): Field {
  const at = (s: number) => ring(options, pose, s)
  const { shadingPerMm = 0, kernel = 'plain' } = options
  const ramp = scale(pose.shading, shadingPerMm)
  const sharp = at(sigmaMm)
  const wide = kernel === 'enhancing' ? at(2 * sigmaMm) : null
  return (x, y, z) =>
    (wide === null ? sharp(x, y, z) : 1.35 * sharp(x, y, z) - 0.35 * wide(x, y, z)) +
    ramp[0] * x +
    ramp[1] * y +
    ramp[2] * z
}

function ring(options: ShellOptions, { origin, axis, towards, plate }: ShellPose, sigmaMm: number): Field {
  const { softGrey = 50, cortexGrey = 1500, marrowGrey = 400, gumMm } = options
  const gum = gumMm === undefined ? [] : [{ radiusMm: plate.outerMm + gumMm, shiftMm: 0, grey: softGrey }]
  return discStack({
    ...{ origin, axis, towards, sigmaMm },
    greyOutside: gumMm === undefined ? softGrey : AIR_GREY,
    discs: [
      ...gum,
      { radiusMm: plate.outerMm, shiftMm: 0, grey: cortexGrey },
      { radiusMm: plate.innerMm, shiftMm: plate.eccentricityMm, grey: marrowGrey },
    ],
  })
}

const marrowShare = ({ origin, axis, towards, plate }: ShellPose, sigmaMm: number): Field =>
  discStack({
    ...{ origin, axis, towards, sigmaMm, greyOutside: 0 },
    discs: [{ radiusMm: plate.innerMm, shiftMm: plate.eccentricityMm, grey: 1 }],
  })
