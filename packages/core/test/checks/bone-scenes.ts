import {
  blurredOutline,
  cubicGrid,
  cylinderShell,
  ellipse,
  extrude,
  type Field,
  plateStack,
  renderField,
  wedge,
} from '@alveometer/phantom'
import {
  type BoneMargin,
  boneModel,
  type FixtureFrame,
  type FixtureProfile,
  fastMargin,
  fixtureFrame,
  fixtureProfile,
  refinedMargin,
  type SurfaceGrid,
  type Volume,
} from '../../src/index.js'

/** Cortex 1500, marrow 400, soft tissue 50, blurred by 0.25 mm, voxels of 0.2 mm, no noise. */
const SIGMA_MM = 0.25
const SPACING_MM = 0.2

const rendered = (field: Field, sizeMm: number): Volume => {
  const n = Math.round(sizeMm / SPACING_MM)
  return renderField(field, cubicGrid([n, n, n], SPACING_MM, [0.03, 0.05, 0.02]))
}

/** A round bone of radius 5 mm about the z axis, its plate 2 mm thick. */
export const roundBone = (): Volume =>
  rendered(
    cylinderShell({
      ...{ origin: [0, 0, 0], axis: [0, 0, 1], towards: [1, 0, 0], sigmaMm: SIGMA_MM },
      ...{ outerRadiusMm: 5, innerRadiusMm: 3, eccentricityMm: 0 },
      ...{ greyOutside: 50, greyShell: 1500, greyInside: 400 },
    }),
    18,
  )

/** A flat plate of 2 mm, its outer face 4 mm from the z axis at +x, and another one 6 mm from it at -x. */
export const flatBone = (): Volume =>
  rendered(
    plateStack({
      ...{ origin: [0, 0, 0], normal: [1, 0, 0], sigmaMm: SIGMA_MM },
      ...{ faces: [-6, -4, 2, 4], greys: [50, 1500, 400, 1500, 50] },
    }),
    22,
  )

/** An ellipse with half axes 4 along x and 7 along y, drawn out along z; plate 1.6 mm. */
export function ellipticBone(): Volume {
  const pose = { origin: [0, 0, 0], axis: [0, 0, 1], u: [1, 0, 0] } as const
  const outline = (a: number, b: number) => blurredOutline(ellipse(a, b), SIGMA_MM, 9)
  const bone = extrude(outline(4, 7), { ...pose, greyInside: 1450, greyOutside: 0 })
  const marrow = extrude(outline(2.4, 5.4), { ...pose, greyInside: -1100, greyOutside: 0 })
  return rendered((x, y, z) => 50 + bone(x, y, z) + marrow(x, y, z), 20)
}

/** Height of the wedge's edge above the middle of the scan, mm. */
export const EDGE_MM = 8

/** A ridge along y that comes to an edge at z = 8, 20 degrees to either side; plate 1.6 mm. */
export function sharpRidge(): Volume {
  const pose = { origin: [0, 0, 0], axis: [0, -1, 0], u: [1, 0, 0] } as const
  const deeper = 1.6 / Math.sin((20 * Math.PI) / 180)
  const outline = (below: number) => blurredOutline((u, v) => wedge(20)(u, v - EDGE_MM + below), SIGMA_MM, 15)
  const bone = extrude(outline(0), { ...pose, greyInside: 1450, greyOutside: 0 })
  const marrow = extrude(outline(deeper), { ...pose, greyInside: -1100, greyOutside: 0 })
  return rendered((x, y, z) => 50 + bone(x, y, z) + marrow(x, y, z), 21)
}

export interface Measured {
  readonly fast: BoneMargin
  readonly refined: BoneMargin
}

/** Both margins of an upright fixture, facial along +x. */
export function measured(
  volume: Volume,
  profile: FixtureProfile,
  grid: SurfaceGrid,
  frame: FixtureFrame = upright([0, 0, 0]),
): Measured {
  const model = boneModel(volume)
  return {
    fast: fastMargin(model, frame, profile, grid),
    refined: refinedMargin(model, frame, profile, grid),
  }
}

export const upright = (platform: readonly [number, number, number], down: 1 | -1 = 1): FixtureFrame =>
  fixtureFrame({ platform, apical: [0, 0, down] }, [1, 0, 0])

export const cylinder = (radiusMm: number, lengthMm: number): FixtureProfile =>
  fixtureProfile({ kind: 'cylinder', diameterMm: 2 * radiusMm, lengthMm })

/** The column of an angle in a map. */
export const columnOf = ({ grid }: BoneMargin, angleDeg: number): number => grid.anglesDeg.indexOf(angleDeg)
