import {
  along,
  cross,
  dot,
  type ExitResult,
  fixtureFrame,
  fixtureProfile,
  fromFrame,
  invert,
  type Mat4,
  type Mesh,
  normalize,
  type Plan,
  type Polyline,
  radialDirection,
  scale,
  sliceMesh,
  subtract,
  transformDirection,
  transformPoint,
  type Vec3,
  type WorldPoint,
} from '@alveometer/core'

/** A plan's lines and planes as the scene draws them, LPS mm. */
export interface ScenePlacement {
  /** Fixture frame to LPS. */
  readonly fixturePose: Mat4
  /** Point on the cut and its unit normal: the plane of the fixture axis and the facial direction. */
  readonly cutOrigin: WorldPoint
  readonly cutNormal: Vec3
  /** The line of axis and access channel: from beyond the apex to beyond the exit. */
  readonly channel: readonly [WorldPoint, WorldPoint]
  /** A circle round the channel where it leaves the crown; null when it does not meet one. */
  readonly ring: readonly WorldPoint[] | null
}

/** How far the centre line runs beyond what it belongs to (ISO 128-2: centre lines pass the outline a little). */
const BEYOND_MM = 3
/** Length of the channel drawn where no exit is known. */
const OPEN_CHANNEL_MM = 14
const RING_RADIUS_MM = 1.1

/**
 * @throws RangeError when the fixture's shape or axis is not usable (see core's fixtureProfile and fixtureFrame).
 */
export function placeInScene(plan: Plan, exit: Pick<ExitResult, 'point'> | null): ScenePlacement {
  const frame = fixtureFrame(plan.fixture, plan.site.facial)
  const { lengthMm } = fixtureProfile(plan.fixture.shape)
  const coronal = scale(frame.z, -1)
  const point = exit?.point ?? null
  const reachMm = point === null ? OPEN_CHANNEL_MM : dot(subtract(point, frame.origin), coronal) + BEYOND_MM
  return {
    fixturePose: fromFrame(frame.x, frame.y, frame.z, frame.origin),
    cutOrigin: frame.origin,
    cutNormal: frame.y,
    channel: [along(frame.origin, frame.z, lengthMm + BEYOND_MM), along(frame.origin, coronal, reachMm)],
    ring:
      point === null
        ? null
        : Array.from({ length: 36 }, (_, n) => along(point, radialDirection(frame, n * 10), RING_RADIUS_MM)),
  }
}

/** From the facial side, a little from the crown's end: where an operator sits. */
export const firstDirection = (plan: Plan): Vec3 =>
  along(normalize(plan.site.facial), normalize(plan.site.coronal), 0.3)

/** On the cut, turned a little towards facial, from the side of it that is nearer to `toViewer`. */
export function cutDirection(plan: Plan, placement: ScenePlacement, toViewer: Vec3): Vec3 {
  const side = dot(placement.cutNormal, toViewer) < 0 ? -1 : 1
  const facial = cross(placement.cutNormal, normalize(plan.fixture.apical))
  return along(scale(placement.cutNormal, side), facial, 0.35)
}

/** The cut with the half nearer to the viewer taken away. */
export const cutFor = ({ cutOrigin, cutNormal }: ScenePlacement, toViewer: Vec3) => ({
  origin: cutOrigin,
  normal: scale(cutNormal, dot(cutNormal, toViewer) < 0 ? 1 : -1),
})

/** The lines in which the cut meets a placed body, LPS mm. The pose is rigid. */
export function outlineInCut(
  { mesh, pose }: { readonly mesh: Mesh; readonly pose: Mat4 },
  { cutOrigin, cutNormal }: ScenePlacement,
): Polyline[] {
  const toBody = invert(pose)
  const lines = sliceMesh(mesh, transformPoint(toBody, cutOrigin), transformDirection(toBody, cutNormal))
  return lines.map((line) => ({ ...line, points: line.points.map((p) => transformPoint(pose, p)) }))
}
