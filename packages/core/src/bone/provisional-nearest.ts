import { type FixtureFrame, type FixtureProfile, radiusAtMm, type SurfaceGrid } from '../fixture/index.js'
import type { SiteSurface } from './site-surface-result.js'
import { ProbeField } from './surface-probe-field.js'

/** Least distance from the fixture's side to the outside of bone; see the margin's nearest. */
export function provisionalNearest(
  surface: SiteSurface,
  profile: FixtureProfile,
  { depthsMm, anglesDeg }: SurfaceGrid,
): (frame: FixtureFrame) => number | null {
  const field = new ProbeField(surface)
  const cos = anglesDeg.map((angle) => Math.cos((angle * Math.PI) / 180))
  const sin = anglesDeg.map((angle) => Math.sin((angle * Math.PI) / 180))
  const radii = depthsMm.map((depth) => radiusAtMm(profile, depth))
  const per = 1 / surface.stepMm
  return ({ origin, x, y, z }) => {
    const [oi, oj, ok] = field.place(origin)
    const axis = (depth: number) =>
      field.at(oi + depth * z[0] * per, oj + depth * z[1] * per, ok + depth * z[2] * per)
    let top = 0
    if (axis(0) > 0) while (top > -2 && axis(top - 0.25) > 0) top -= 0.25
    else while (top < profile.lengthMm && !(axis(top) > 0)) top += 0.25
    if (top >= profile.lengthMm) return null
    let least = Number.POSITIVE_INFINITY
    for (const [row, depth] of depthsMm.entries())
      for (let column = 0; column < cos.length; column++) {
        const a = radii[row] * (cos[column] as number)
        const b = radii[row] * (sin[column] as number)
        const i = oi + (depth * z[0] + a * x[0] + b * y[0]) * per
        const j = oj + (depth * z[1] + a * x[1] + b * y[1]) * per
        const k = ok + (depth * z[2] + a * x[2] + b * y[2]) * per
        const d = field.at(i, j, k)
        if (!(d < least)) continue
        const slope =
          (field.at(i + z[0], j + z[1], k + z[2]) - field.at(i - z[0], j - z[1], k - z[2])) /
          (2 * surface.stepMm)
        if (depth - d * slope < top) continue
        least = d
      }
    return least < Number.POSITIVE_INFINITY ? least : null
  }
}
