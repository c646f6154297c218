import {
  along,
  axisPoint,
  boneModel,
  coreSamples,
  densityStatistics,
  type FixtureFrame,
  fixtureProfile,
  SHELL_WIDTH_MM,
  shellSamples,
  type Vec3,
  type WorldPoint,
} from '@alveometer/core'
import {
  createRandom,
  cubicGrid,
  type Field,
  plateStack,
  type Random,
  renderField,
  waves,
} from '@alveometer/phantom'
import { leaningFrame, randomDirection, randomShift } from '../scenes/scene.js'
import { ringMean } from '../truth/quadrature.js'
import type { Study } from './study.js'

type Kind = 'linear' | 'textured' | 'plate in any pose' | 'plate along the fixture'

interface DensityCase {
  readonly name: string
  readonly spacingMm: number
  readonly sigmaMm: number
  readonly kind: Kind
}

/** Measured over true mean grey minus 1, per cent. */
export interface DensityError {
  readonly corePercent: number
  readonly shellPercent: number
}

const RADIUS_MM = 2
const LENGTH_MM = 10
const SIZE_MM = 17
const KINDS: readonly Kind[] = ['linear', 'textured', 'plate in any pose', 'plate along the fixture']

/** Mean grey in the fixture's body and within 0.5 mm round it, against dense quadrature of the field itself. */
export const densityStudy: Study<DensityCase, DensityError> = {
  name: 'density',
  seeds: 12,
  cases: KINDS.flatMap((kind) =>
    (
      [
        [0.2, 0.25],
        [0.3, 0.25],
        [0.4, 0.35],
      ] as const
    ).map(([spacingMm, sigmaMm]) => ({
      name: `${kind} h ${spacingMm} s ${sigmaMm}`,
      spacingMm,
      sigmaMm,
      kind,
    })),
  ),
  measure(it, seed) {
    const random = createRandom(`${it.name}/${seed}`)
    const axis = randomDirection(random)
    const platform = along(randomShift(random, it.spacingMm), axis, -LENGTH_MM / 2)
    const frame = leaningFrame(random, platform, axis, 5)
    const profile = fixtureProfile({ kind: 'cylinder', diameterMm: 2 * RADIUS_MM, lengthMm: LENGTH_MM })
    const field = fieldOf(it, frame, random, seed)
    const n = Math.round(SIZE_MM / it.spacingMm)
    const model = boneModel(renderField(field, cubicGrid([n, n, n], it.spacingMm, [0, 0, 0])))
    const core = densityStatistics(coreSamples(model, frame, profile))?.mean ?? Number.NaN
    const shell = densityStatistics(shellSamples(model, frame, profile))?.mean ?? Number.NaN
    const truth = (from: number, to: number) => ringMean(field, frame, [from, to], LENGTH_MM)
    return {
      corePercent: 100 * (core / truth(0, RADIUS_MM) - 1),
      shellPercent: 100 * (shell / truth(RADIUS_MM, RADIUS_MM + SHELL_WIDTH_MM) - 1),
    }
  },
}

/** A ramp; a texture; a plate of 1 mm, 400 | 1500 | 50, anywhere in or beside the fixture. */
function fieldOf({ kind, sigmaMm }: DensityCase, frame: FixtureFrame, random: Random, seed: string): Field {
  if (kind === 'linear') {
    const [gx, gy, gz] = randomDirection(random)
    return (x, y, z) => 700 + 20 * (gx * x + gy * y + gz * z)
  }
  if (kind === 'textured') return waves({ meanGrey: 400, sd: 150, lengthMm: 0.35, sigmaMm, seed })
  const plate = (origin: WorldPoint, normal: Vec3, face: number) =>
    plateStack({ origin, normal, faces: [face - 1, face], greys: [400, 1500, 50], sigmaMm })
  if (kind === 'plate in any pose')
    return plate(axisPoint(frame, LENGTH_MM / 2), randomDirection(random), 4 * random.uniform() - 1.5)
  const { origin, x } = leaningFrame(random, frame.origin, frame.z, 5)
  return plate(origin, x, 1.2 + 1.8 * random.uniform())
}
