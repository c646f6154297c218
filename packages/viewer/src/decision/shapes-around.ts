import { type FixtureShape, fixtureProfile } from '@alveometer/core'

/** No narrower and no shorter, mm: own choice, for the search alone. */
const LEAST_DIAMETER_MM = 3
const LEAST_LENGTH_MM = 6

/** A fixture, half a millimetre narrower and wider, and all of them 2 mm shorter: own steps. A profile has no others. */
export function shapesAround(shape: FixtureShape): readonly FixtureShape[] {
  if (shape.kind === 'profile') return [shape]
  const others = [0, -0.5, 0.5].flatMap((wider) => [0, -2].map((longer) => resized(shape, wider, longer)))
  return others.filter(
    ({ diameterMm, lengthMm }) => diameterMm >= LEAST_DIAMETER_MM && lengthMm >= LEAST_LENGTH_MM,
  )
}

type Sized = Exclude<FixtureShape, { readonly kind: 'profile' }>

function resized(shape: Sized, widerMm: number, longerMm: number): Sized {
  const size = { diameterMm: shape.diameterMm + widerMm, lengthMm: shape.lengthMm + longerMm }
  return shape.kind === 'cylinder'
    ? { ...shape, ...size }
    : { ...shape, ...size, apexDiameterMm: Math.max(1, shape.apexDiameterMm + widerMm) }
}

/** Diameter by length. */
export function sizeWords(shape: FixtureShape): string {
  const { lengthMm, greatestRadiusMm } = fixtureProfile(shape)
  return `${Number((2 * greatestRadiusMm).toFixed(2))} × ${Number(lengthMm.toFixed(2))}`
}
