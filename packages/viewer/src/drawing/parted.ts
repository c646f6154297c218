import type { Vec3 } from '@alveometer/core'
import { path } from './lines.js'
import type { Pixel } from './view.js'

/** A line on a body as path data: what is seen of it, and what the body hides. */
export interface Parted {
  readonly seen: string
  readonly hidden: string
}

/** Points are looked at this far apart, mm. */
const stepMm = 0.2

/** Parts a line of LPS points by what hides it. */
export function parted(
  points: readonly Vec3[],
  closed: boolean,
  at: (p: Vec3) => Pixel,
  isHidden: (p: Vec3) => boolean,
): Parted {
  const all = densified(closed && points.length > 0 ? [...points, points[0]] : points)
  const parts = { seen: '', hidden: '' }
  let run: Pixel[] = []
  let before: boolean | null = null
  const finish = (): void => {
    if (before !== null && run.length > 1) parts[before ? 'hidden' : 'seen'] += path(run)
  }
  for (const p of all) {
    const now = isHidden(p)
    const pixel = at(p)
    if (now === before) run.push(pixel)
    else {
      finish()
      run = [...run.slice(-1), pixel]
      before = now
    }
  }
  finish()
  return parts
}

function densified(points: readonly Vec3[]): Vec3[] {
  return points.flatMap((p, n) => {
    const next = points[n + 1]
    if (next === undefined) return [p]
    const pieces = Math.max(1, Math.ceil(Math.hypot(next[0] - p[0], next[1] - p[1], next[2] - p[2]) / stepMm))
    return Array.from({ length: pieces }, (_, k): Vec3 => {
      const share = k / pieces
      return [
        p[0] + share * (next[0] - p[0]),
        p[1] + share * (next[1] - p[1]),
        p[2] + share * (next[2] - p[2]),
      ]
    })
  })
}
