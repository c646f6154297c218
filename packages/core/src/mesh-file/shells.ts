import type { Mesh, Vec3 } from '../space/index.js'
import { corners, cross, dot, length, subtract } from '../space/index.js'
import { following } from './edges.js'
import type { WoundMesh } from './winding.js'

/** A part of a mesh that hangs together over edges. Lengths in the mesh's unit. */
export interface Shell {
  readonly triangles: number
  readonly area: number
  /** Edges with one face, and with more than two. */
  readonly openEdges: number
  readonly manyFaceEdges: number
  /** Neither inside nor outside is in doubt: every edge is run along as often one way as the other. */
  readonly closed: boolean
  readonly oneSided: boolean
  /**
   * What it encloses, negative when it is wound inside out; of an open shell what a lid of triangles from the middle
   * of its rim would make it enclose.
   */
  readonly volume: number
  readonly low: Vec3
  readonly high: Vec3
}

/** Below this share of a ball's volume of the same area a shell is a fold of two layers. Own choice: rounding is 1e-15. */
const LEAST_SHARE = 1e-9

/** Measures every shell. */
export function surveyShells({ mesh, rings, shellOf, shells: count, oneSided }: WoundMesh): Shell[] {
  const { positions, triangles } = mesh
  const shells = Array.from({ length: count }, (_, n) => ({
    triangles: 0,
    area: 0,
    openEdges: 0,
    manyFaceEdges: 0,
    closed: true,
    oneSided: oneSided[n] === 1,
    volume: 0,
    low: [Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY, Number.POSITIVE_INFINITY] as [
      number,
      number,
      number,
    ],
    high: [Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY, Number.NEGATIVE_INFINITY] as [
      number,
      number,
      number,
    ],
    rim: [0, 0, 0] as [number, number, number],
  }))
  const seen = new Uint8Array(triangles.length)
  for (let h = 0; h < triangles.length; h++) {
    const shell = shells[shellOf[Math.floor(h / 3)]]
    for (const axis of [0, 1, 2]) {
      const value = positions[3 * triangles[h] + axis]
      if (value < shell.low[axis]) shell.low[axis] = value
      if (value > shell.high[axis]) shell.high[axis] = value
    }
    if (seen[h]) continue
    let faces = 0
    let balance = 0
    for (let at = h; faces === 0 || at !== h; at = rings[at]) {
      seen[at] = 1
      faces++
      balance += triangles[at] === triangles[h] ? 1 : -1
    }
    if (faces > 2) shell.manyFaceEdges++
    if (balance !== 0) shell.closed = false
    if (faces !== 1) continue
    shell.openEdges++
    for (const axis of [0, 1, 2])
      shell.rim[axis] +=
        (positions[3 * triangles[h] + axis] + positions[3 * triangles[following(h)] + axis]) / 2
  }
  for (const shell of shells)
    for (const axis of [0, 1, 2])
      shell.rim[axis] =
        shell.openEdges > 0 ? shell.rim[axis] / shell.openEdges : (shell.low[axis] + shell.high[axis]) / 2
  for (let t = 0; t < triangles.length / 3; t++) {
    const shell = shells[shellOf[t]]
    const [a, b, c] = corners(mesh, t)
    const [u, v, w] = [subtract(a, shell.rim), subtract(b, shell.rim), subtract(c, shell.rim)]
    shell.triangles++
    shell.area += length(cross(subtract(b, a), subtract(c, a))) / 2
    shell.volume += dot(u, cross(v, w)) / 6
  }
  return shells.map(({ rim, ...shell }) => ({
    ...shell,
    closed: shell.closed && !shell.oneSided && Math.abs(shell.volume) > LEAST_SHARE * shell.area ** 1.5,
  }))
}

/** The shell that is kept: the one of the greatest volume, whichever way it is wound; among flat ones the largest. */
export const largestShell = (shells: readonly Shell[]): number =>
  shells.reduce((best, { volume, area }, n) => {
    const difference = Math.abs(volume) - Math.abs(shells[best].volume)
    return difference > 0 || (difference === 0 && area > shells[best].area) ? n : best
  }, 0)

/** So many shells are looked at for being voids, the largest first; what remains is dust. Own choice. */
const MOST_VOIDS = 50

/**
 * The voids of a closed shell: closed shells inside it that are wound the other way. A shell inside that is wound the
 * same way adds nothing and is a loose part.
 */
export function voidsOf(main: number, shells: readonly Shell[], { mesh, shellOf }: WoundMesh): number[] {
  const { closed, volume, low, high } = shells[main]
  if (!closed || shells.length === 1) return []
  const isCandidate = (s: Shell) =>
    s.closed &&
    s.volume * volume < 0 &&
    [0, 1, 2].every((axis) => s.low[axis] >= low[axis] && s.high[axis] <= high[axis])
  const candidates = shells
    .flatMap((shell, n) => (isCandidate(shell) ? [n] : []))
    .sort((m, n) => Math.abs(shells[n].volume) - Math.abs(shells[m].volume))
    .slice(0, MOST_VOIDS)
  const firstOf = new Map<number, number>()
  for (let t = 0; t < shellOf.length && firstOf.size < shells.length; t++)
    if (!firstOf.has(shellOf[t])) firstOf.set(shellOf[t], t)
  return candidates.filter((n) => {
    const [point] = corners(mesh, firstOf.get(n) ?? 0)
    return Math.abs(windingNumber(mesh, shellOf, main, point)) > 0.5
  })
}

/** How often a shell goes round a point. Solid angle of a triangle: van Oosterom and Strackee 1983. */
function windingNumber(mesh: Mesh, shellOf: Int32Array, shell: number, point: Vec3): number {
  let angle = 0
  for (let t = 0; t < shellOf.length; t++) {
    if (shellOf[t] !== shell) continue
    const [a, b, c] = corners(mesh, t).map((p) => subtract(p, point))
    const [la, lb, lc] = [length(a), length(b), length(c)]
    const below = la * lb * lc + dot(a, b) * lc + dot(b, c) * la + dot(c, a) * lb
    angle += 2 * Math.atan2(dot(a, cross(b, c)), below)
  }
  return angle / (4 * Math.PI)
}
