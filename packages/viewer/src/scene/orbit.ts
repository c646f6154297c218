import { along, cross, dot, subtract, type Vec3, type WorldPoint } from '@alveometer/core'

/**
 * Where the scene is seen from: a parallel view that turns about the patient's long axis, so superior stays up.
 * Yaw 0 looks at the patient from the front, 90 from the patient's left; pitch 90 looks down from above.
 */
export interface Orbit {
  readonly yawDeg: number
  readonly pitchDeg: number
  readonly centre: WorldPoint
  /** Half the height of the picture, mm. */
  readonly halfHeightMm: number
}

/** Unit vectors of the picture in LPS. */
export interface ViewAxes {
  readonly right: Vec3
  readonly up: Vec3
  readonly toViewer: Vec3
}

export interface PixelSize {
  readonly width: number
  readonly height: number
}

const radians = (deg: number) => (deg * Math.PI) / 180
const degrees = (rad: number) => (rad * 180) / Math.PI

export function viewAxes({ yawDeg, pitchDeg }: Pick<Orbit, 'yawDeg' | 'pitchDeg'>): ViewAxes {
  const [sy, cy] = [Math.sin(radians(yawDeg)), Math.cos(radians(yawDeg))]
  const [sp, cp] = [Math.sin(radians(pitchDeg)), Math.cos(radians(pitchDeg))]
  const toViewer: Vec3 = [cp * sy, -cp * cy, sp]
  const up: Vec3 = [-sp * sy, sp * cy, cp]
  return { right: cross(up, toViewer), up, toViewer }
}

/** The same view from the side a direction points to; the direction needs no unit length. */
export const lookFrom = (orbit: Orbit, direction: Vec3): Orbit => ({
  ...orbit,
  yawDeg: degrees(Math.atan2(direction[0], -direction[1])),
  pitchDeg: degrees(Math.atan2(direction[2], Math.hypot(direction[0], direction[1]))),
})

/** Turned so that what faces the viewer moves right and up by these angles. */
export const turn = (orbit: Orbit, rightDeg: number, upDeg: number): Orbit => ({
  ...orbit,
  yawDeg: ((((orbit.yawDeg - rightDeg + 180) % 360) + 360) % 360) - 180,
  pitchDeg: Math.min(90, Math.max(-90, orbit.pitchDeg - upDeg)),
})

/** Factor above 1: nearer. Between 2 and 200 mm of picture height. */
export const zoom = (orbit: Orbit, factor: number): Orbit => ({
  ...orbit,
  halfHeightMm: Math.min(100, Math.max(1, orbit.halfHeightMm / factor)),
})

/** Moved so that the scene follows a pointer by so many pixels right and down. */
export function pan(orbit: Orbit, rightPx: number, downPx: number, size: PixelSize): Orbit {
  const { right, up } = viewAxes(orbit)
  const mmPerPx = (2 * orbit.halfHeightMm) / Math.max(1, size.height)
  return { ...orbit, centre: along(along(orbit.centre, right, -rightPx * mmPerPx), up, downPx * mmPerPx) }
}

/** A point in LPS as pixels from the top left corner. */
export function project(orbit: Orbit, size: PixelSize, point: WorldPoint): [number, number] {
  const { right, up } = viewAxes(orbit)
  const d = subtract(point, orbit.centre)
  const scale = size.height / (2 * orbit.halfHeightMm)
  return [size.width / 2 + dot(d, right) * scale, size.height / 2 - dot(d, up) * scale]
}

/** The view scaled and moved, also in depth, so that all points lie in the picture and it turns about their middle. */
export function frame(orbit: Orbit, size: PixelSize, points: readonly WorldPoint[]): Orbit {
  if (points.length === 0) return orbit
  const { right, up, toViewer } = viewAxes(orbit)
  const across = range(points.map((p) => dot(subtract(p, orbit.centre), right)))
  const upward = range(points.map((p) => dot(subtract(p, orbit.centre), up)))
  const deep = range(points.map((p) => dot(subtract(p, orbit.centre), toViewer)))
  const aspect = Math.max(0.2, size.width / Math.max(1, size.height))
  const half = Math.max(upward.half, across.half / aspect, 2)
  return {
    ...orbit,
    centre: along(along(along(orbit.centre, right, across.middle), up, upward.middle), toViewer, deep.middle),
    halfHeightMm: half * 1.1,
  }
}

function range(values: readonly number[]): { middle: number; half: number } {
  const low = Math.min(...values)
  const high = Math.max(...values)
  return { middle: (low + high) / 2, half: (high - low) / 2 }
}

/** One end of a patient axis: its letter, where it points in the picture (right, up) and how far towards the viewer. */
export interface AxisLetter {
  readonly letter: 'L' | 'R' | 'P' | 'A' | 'S' | 'I'
  readonly name: string
  readonly right: number
  readonly up: number
  readonly towards: number
}

/** LPS: +x is the patient's left, +y posterior, +z superior (DICOM PS3.3 C.7.6.2.1.1). */
const DIRECTIONS: readonly (readonly [AxisLetter['letter'], string, Vec3])[] = [
  ['L', 'left', [1, 0, 0]],
  ['R', 'right', [-1, 0, 0]],
  ['P', 'posterior', [0, 1, 0]],
  ['A', 'anterior', [0, -1, 0]],
  ['S', 'superior', [0, 0, 1]],
  ['I', 'inferior', [0, 0, -1]],
]

export function axisLetters(orbit: Orbit): AxisLetter[] {
  const { right, up, toViewer } = viewAxes(orbit)
  return DIRECTIONS.map(([letter, name, d]) => ({
    letter,
    name,
    right: dot(d, right),
    up: dot(d, up),
    towards: dot(d, toViewer),
  }))
}

/** Where the viewer stands, in words, the strongest direction first: "anterior, inferior". */
export const seenFrom = (orbit: Orbit): string =>
  axisLetters(orbit)
    .filter((axis) => axis.towards > 0.2)
    .sort((a, b) => b.towards - a.towards)
    .map((axis) => axis.name)
    .join(', ')
