import {
  type Assessment,
  along,
  axisPoint,
  dot,
  fixtureFrame,
  fixtureProfile,
  type GraftAssessment,
  type Plan,
  radiusAtMm,
  subtract,
  type Vec3,
} from '@alveometer/core'
import { nothing, type SVGTemplateResult, svg } from 'lit'
import { type GraftHandle, graftPlace } from '../drawing/graft-hand.js'
import type { GraftShape } from '../drawing/graft-hatch.js'
import { dimension, label, line, onSheet, textWidth } from '../drawing/lines.js'
import { nearestCell } from '../drawing/margin-at.js'
import { type Pixel, toPixel, type View } from '../drawing/view.js'
import { mm, plain } from '../text/format.js'
import { onFixture } from './fixture-marks.js'

/** A change of the margin less than this is not dimensioned, mm: half of what is shown as an interval at least. */
const changedMm = 0.05
/** Between the dimension of the bone and that of bone and graft, pixels. */
const apartPx = 30
/** Between those and other lettering, pixels. */
const clearPx = 26

/** The graft as the section cuts it. */
export function sectionGraft(view: View, { outlines }: GraftAssessment): GraftShape {
  const drawn = (loops: readonly (readonly Vec3[])[]): Pixel[][] =>
    loops.map((loop) => loop.map((p) => toPixel(view, p)))
  return { built: drawn(outlines.built), kept: drawn(outlines.kept) }
}

/** Where the handle on a free graft's outside stands: on the outline that is drawn. */
export function graftOutside(
  plan: Plan,
  graft: GraftAssessment | null,
): Partial<Readonly<Record<GraftHandle, Vec3>>> {
  if (graft === null || plan.graft?.kind !== 'free') return {}
  const frame = fixtureFrame(plan.fixture, plan.site.facial)
  const depthMm = dot(subtract(graftPlace(plan, plan.graft, 'graft-thickness'), frame.origin), frame.z)
  const [first = 0, second = first + 1] = graft.depthsMm
  const row = Math.round((depthMm - first) / (second - first))
  const outerMm = graft.outerMm[row]?.[columnAt(graft, 0)] ?? null
  if (outerMm === null) return {}
  return { 'graft-thickness': along(axisPoint(frame, depthMm), frame.x, outerMm) }
}

/** The margin with the graft at the collar, and the graft's greatest thickness in this plane. */
export function graftMarks(
  view: View,
  plan: Plan,
  assessment: Assessment,
  graft: GraftAssessment,
  collarDepthMm: number,
): SVGTemplateResult {
  return svg`${marginAfter(view, plan, assessment, graft, collarDepthMm, 0)}
    ${marginAfter(view, plan, assessment, graft, collarDepthMm, 180)}
    ${thickest(view, plan, graft, collarDepthMm)}`
}

/** From the fixture to the graft's outside, parallel to the dimension of the bone there, towards the apex of it. */
function marginAfter(
  view: View,
  plan: Plan,
  { margin }: Assessment,
  graft: GraftAssessment,
  depthMm: number,
  angleDeg: 0 | 180,
): SVGTemplateResult | typeof nothing {
  const before = nearestCell(margin, depthMm, angleDeg).radialMm
  const at = (told: GraftAssessment['after']): number | null =>
    nearestCell({ ...margin, radialMm: told.radialMm }, depthMm, angleDeg).radialMm
  const after = at(graft.after)
  const left = at(graft.afterLoss)
  if (after === null || after <= 0 || (before !== null && after - before < changedMm)) return nothing
  const sign = angleDeg === 0 ? 1 : -1
  const place = onFixture(view, plan)
  const r = radiusAtMm(fixtureProfile(plan.fixture.shape), depthMm)
  const shiftMm = apartPx * view.mmPerPixel
  const down = minus(place(depthMm + shiftMm), place(depthMm))
  const sector = margin.sectors[angleDeg === 0 ? 'facial' : 'palatal'] ?? margin.sectors.lingual
  const kind = sector !== undefined && (left ?? after) < sector.limitMm ? 'below' : ''
  const start = place(depthMm, sign * r)
  const end = place(depthMm, sign * (r + after))
  const room = (end[0] < start[0] ? end[0] : view.width - end[0]) - 12
  const keeps = left !== null && after - left >= changedMm
  const [long, short] = keeps
    ? [`${plain(after, 2)} built, ${plain(left, 2)} kept`, `${plain(after, 2)}, kept ${plain(left, 2)}`]
    : [`${plain(after, 2)} built`, plain(after, 2)]
  const text = textWidth(long) > room ? short : long
  const reach = Math.min(room, textWidth(text) + 8)
  return dimension(start, end, text, { offset: down, place: 'beyond', reach, kind })
}

interface Thickest {
  readonly depthMm: number
  readonly sign: 1 | -1
  readonly innerMm: number
  readonly outerMm: number
}

function thickest(
  view: View,
  plan: Plan,
  graft: GraftAssessment,
  collarDepthMm: number,
): SVGTemplateResult | typeof nothing {
  const clearMm = collarDepthMm + (apartPx + clearPx) * view.mmPerPixel
  const most = thickestInPlane(graft, clearMm)
  if (most === null) return nothing
  const at = onFixture(view, plan)
  const { depthMm, sign, innerMm, outerMm } = most
  const [inner, outer] = [at(depthMm, sign * innerMm), at(depthMm, sign * outerMm)]
  const text = `graft ${mm(outerMm - innerMm)}`
  const left = outer[0] < at(depthMm)[0]
  // Its lettering keeps clear of the two lines at the collar: coronal of them, or apical.
  const pastCollarPx = (depthMm - collarDepthMm) / view.mmPerPixel
  const apicalPx = Math.max(0, apartPx + clearPx - pastCollarPx)
  const coronalPx = Math.max(0, clearPx + pastCollarPx)
  const deeperMm = (coronalPx < apicalPx ? -coronalPx : apicalPx) * view.mmPerPixel
  const level = at(depthMm + deeperMm, sign * outerMm)
  const start = onSheet(left ? outer[0] - 22 - textWidth(text) : outer[0] + 22, text, view.width)
  const end: Pixel = [left ? start + textWidth(text) + 2 : start - 4, level[1]]
  return svg`${dimension(inner, outer, '', { offset: minus(level, outer) })}${line(level, end, 'thin')}
    ${label([start, level[1] + 4], text, 'start')}`
}

/**
 * Where the graft is thickest in the section plane, facially or on the other side. Of places that are as thick to the
 * eye the first one past `fromDepthMm`, where there is one.
 */
export function thickestInPlane(graft: GraftAssessment, fromDepthMm: number): Thickest | null {
  const sides = [
    [1, columnAt(graft, 0)],
    [-1, columnAt(graft, 180)],
  ] as const
  const all = graft.depthsMm.flatMap((depthMm, row) =>
    sides.flatMap(([sign, column]): Thickest[] => {
      const innerMm = graft.innerMm[row]?.[column] ?? null
      const outerMm = graft.outerMm[row]?.[column] ?? null
      return innerMm === null || outerMm === null ? [] : [{ depthMm, sign, innerMm, outerMm }]
    }),
  )
  const thickness = (t: Thickest): number => t.outerMm - t.innerMm
  const mostMm = all.reduce((most, t) => Math.max(most, thickness(t)), 0)
  if (mostMm < changedMm) return null
  const thick = all.filter((t) => mostMm - thickness(t) < 0.005)
  return thick.find((t) => t.depthMm >= fromDepthMm) ?? thick[thick.length - 1] ?? null
}

function columnAt({ anglesDeg }: GraftAssessment, angleDeg: number): number {
  const away = anglesDeg.map((a) => Math.abs(((a - angleDeg + 540) % 360) - 180))
  return away.indexOf(Math.min(...away))
}

const minus = (a: Pixel, b: Pixel): Pixel => [a[0] - b[0], a[1] - b[1]]
