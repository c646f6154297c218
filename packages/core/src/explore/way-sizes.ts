import { type FixtureShape, fixtureProfile } from '../fixture/index.js'

/** Sizes that may be placed, mm; those of the shape itself where absent. */
export interface FixtureSizes {
  readonly diametersMm?: readonly number[]
  readonly lengthsMm?: readonly number[]
}

/**
 * A shape in every diameter (its greatest) with every length, its taper and outline stretched with it. In the order of the
 * diameters given, then the lengths.
 * @throws RangeError when a size is not a positive number.
 */
export function shapesInSizes(shape: FixtureShape, { diametersMm, lengthsMm }: FixtureSizes): FixtureShape[] {
  const { greatestRadiusMm, lengthMm } = fixtureProfile(shape)
  const ownMm = 2 * greatestRadiusMm
  return (diametersMm ?? [ownMm]).flatMap((diameterMm) =>
    (lengthsMm ?? [lengthMm]).map((mm) => {
      for (const size of [diameterMm, mm])
        if (!(size > 0 && Number.isFinite(size)))
          throw new RangeError(`sizes of a fixture must be positive numbers of mm, got ${size}`)
      return stretched(shape, diameterMm / ownMm, mm / lengthMm)
    }),
  )
}

function stretched(shape: FixtureShape, across: number, along: number): FixtureShape {
  switch (shape.kind) {
    case 'cylinder':
      return { ...shape, diameterMm: shape.diameterMm * across, lengthMm: shape.lengthMm * along }
    case 'tapered':
      return {
        ...shape,
        diameterMm: shape.diameterMm * across,
        apexDiameterMm: shape.apexDiameterMm * across,
        lengthMm: shape.lengthMm * along,
      }
    case 'profile':
      return {
        ...shape,
        points: shape.points.map(([depthMm, radiusMm]) => [depthMm * along, radiusMm * across] as const),
      }
  }
}
