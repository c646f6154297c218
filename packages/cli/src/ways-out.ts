import {
  boneModel,
  exploredSite,
  type FixtureShape,
  fixtureProfile,
  type WaysOut,
  waysOut,
} from '@alveometer/core'
import { openCrown, openPlan } from './assess.js'
import { type CommandLine, numberOf, numbersOf, required, UsageError } from './command-line.js'
import { openScan } from './scan-source.js'

/** The best placement of each way out of a plan's site, on a scan; in other sizes than the plan's where they are given. */
export async function waysOutCommand(line: CommandLine): Promise<WaysOut> {
  const planPath = required(line, 'plan')
  const [diametersMm, lengthsMm] = [numbersOf(line, 'diameters'), numbersOf(line, 'lengths')]
  const inHandMm = numberOf(line, 'in-hand')
  const plan = await openPlan(planPath)
  const shapes = shapesInSizes(plan.fixture.shape, diametersMm, lengthsMm)
  const { volume } = await openScan(line)
  const crownMesh = await openCrown(plan, planPath)
  const site = exploredSite(boneModel(volume), plan, {
    ...(crownMesh === undefined ? {} : { crownMesh }),
    longestMm: Math.max(...shapes.map((shape) => fixtureProfile(shape).lengthMm)),
  })
  return waysOut(site, { shapes, ...(inHandMm === undefined ? {} : { inHandMm }) })
}

/**
 * A shape in every diameter (its greatest) with every length, its taper and outline stretched with it; the shape's own size
 * where none is given.
 * @throws UsageError when a size is not a positive number.
 */
export function shapesInSizes(
  shape: FixtureShape,
  diametersMm: readonly number[] | undefined,
  lengthsMm: readonly number[] | undefined,
): FixtureShape[] {
  const { greatestRadiusMm, lengthMm } = fixtureProfile(shape)
  const ownMm = 2 * greatestRadiusMm
  return (diametersMm ?? [ownMm]).flatMap((diameterMm) =>
    (lengthsMm ?? [lengthMm]).map((mm) => {
      for (const size of [diameterMm, mm])
        if (!(size > 0 && Number.isFinite(size)))
          throw new UsageError(`a fixture's size must be a positive number of mm, got ${size}`)
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
