import { radiusAtMm } from '../fixture/index.js'
import { boneRows } from './bone-rows.js'
import { boneUnder } from './bone-under.js'
import { baseOf, FIELD_ANGLES, fieldDepths, fieldOf } from './field-of.js'
import type { GraftQuestion } from './graft-question.js'
import type { GraftField } from './graft-result.js'
import type { DeficitGraft } from './graft-spec.js'
import { type Contour, sloped, smoothed, withinHull } from './natural-contour.js'
import { overbuiltMm, remainingMm, wantedMm } from './wanted.js'

/** Smoothed, and on bone thinner than the fixture, an outside runs out somewhat farther than it is thick. */
const RUN_OUT_MM = 1

/** Bone brought to the wanted thickness over the fixture, from a depth to its apex. */
export function deficitField(
  { margin, frame, profile }: Omit<GraftQuestion, 'spec'>,
  spec: DeficitGraft,
): GraftField | null {
  const { lengthMm } = profile
  const { loss } = spec
  if (!(spec.fromDepthMm < lengthMm)) return null
  const wanted = FIELD_ANGLES.map((angle) => wantedMm(spec, angle))
  const greatest = Math.max(...wanted)
  const builtGreatest = spec.overbuilt ? overbuiltMm(loss, greatest) : greatest
  const { depthsMm, stepMm } = fieldDepths(spec.fromDepthMm, lengthMm, margin.grid.depthsMm)
  const rows = depthsMm.length
  // A natural outside runs out beyond the apex, at 45 degrees.
  if (spec.natural)
    for (let n = 1; n * stepMm < builtGreatest + RUN_OUT_MM; n++) depthsMm.push(lengthMm + n * stepMm)
  const toMm = depthsMm[depthsMm.length - 1]
  const ground = boneRows(margin, frame, profile, spec.fromDepthMm, toMm, stepMm, (depthMm, angleDeg) => {
    const mm = wantedMm(spec, angleDeg)
    return radiusAtMm(profile, depthMm) + (spec.overbuilt ? overbuiltMm(loss, mm) : mm)
  })
  const under = boneUnder(ground, margin.grid.anglesDeg, depthsMm, FIELD_ANGLES)
  const base = baseOf(under, profile, depthsMm)
  const columns = FIELD_ANGLES.length
  const needed = base.map((baseMm, n) => {
    const row = Math.floor(n / columns)
    if (row >= rows) return -baseMm
    const outer = radiusAtMm(profile, depthsMm[row]) + wanted[n % columns]
    return Math.min(outer, under.ceilingMm[n]) - baseMm
  })
  const full = spec.overbuilt ? needed.map((mm) => (mm > 0 ? overbuiltMm(loss, mm) : mm)) : needed
  const contour: Contour = { depthsMm, anglesDeg: FIELD_ANGLES, baseMm: base, stepMm }
  let built: Float64Array = full
  let cappedMm = 0
  const allowed = (n: number) => (under.free[n] === 1 && (n < rows * columns || under.exitMm[n] > 0) ? 1 : 0)
  // A layer that is thicker by so many millimetres ends in a step unless it runs out.
  if (spec.natural || (spec.overbuilt && loss.kind === 'mm')) built = sloped(contour, full, allowed)
  if (spec.natural) {
    const round = smoothed(contour, built, full)
    const allowance = spec.overbuilt ? sloped(contour, needed, allowed) : built
    built = withinHull(contour, round, allowance, under.exitMm)
    if (spec.overbuilt)
      for (let n = 0; n < built.length; n++)
        if (built[n] < round[n] && allowed(n) === 1 && needed[n] > 0)
          cappedMm = Math.max(cappedMm, needed[n] - remainingMm(loss, built[n]))
  }
  built = built.map((mm, n) => (allowed(n) === 1 ? Math.min(mm, under.ceilingMm[n] - base[n]) : Number.NaN))
  const openRays = ground.reduce(
    (sum, { depthMm, open }) =>
      depthMm < spec.fromDepthMm - 1e-9 || depthMm > lengthMm + 1e-9
        ? sum
        : sum + open.reduce((rays, each) => rays + each, 0),
    0,
  )
  return fieldOf(profile, depthsMm, under, base, built, loss, { openRays, cappedMm })
}
