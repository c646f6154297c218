import {
  type Assessment,
  along,
  fixtureFrame,
  fixtureProfile,
  oralSide,
  type Plan,
  radiusAtMm,
  type Vec3,
} from '@alveometer/core'
import { type SVGTemplateResult, svg } from 'lit'
import { arrow, cased, dimension, label, line, onSheet, path, textWidth } from '../drawing/lines.js'
import { nearestCell } from '../drawing/margin-at.js'
import { buttonRoom, buttonTop } from '../drawing/stage-style.js'
import { type Pixel, toPixel, type View } from '../drawing/view.js'
import { tiltOf } from '../session/moves.js'
import { inSite, siteFrame } from '../session/site-frame.js'
import { deg, mm, tolerance } from '../text/format.js'

/** A function from depth and radius of the fixture (facial positive) to the drawing. */
export function onFixture(view: View, plan: Plan): (depthMm: number, radiusMm?: number) => Pixel {
  const frame = fixtureFrame(plan.fixture, plan.site.facial)
  return (depthMm, radiusMm = 0) =>
    toPixel(view, along(along(frame.origin, frame.z, depthMm), frame.x, radiusMm))
}

/** The fixture's outline as one closed path. */
export function fixturePath(view: View, plan: Plan): string {
  const at = onFixture(view, plan)
  const { points } = fixtureProfile(plan.fixture.shape)
  const facial = points.map(([d, r]) => at(d, r))
  const inner = [...points].reverse().map(([d, r]) => at(d, -r))
  return path([...facial, ...inner], true)
}

/** Outline and centre line; the centre line goes on as the access channel's (ISO 128-2, line type 04.1). */
export function fixtureMarks(view: View, plan: Plan, coronalReachMm: number): SVGTemplateResult {
  const at = onFixture(view, plan)
  const { lengthMm } = fixtureProfile(plan.fixture.shape)
  return svg`${cased(fixturePath(view, plan), 'out hand')}${line(at(-coronalReachMm), at(lengthMm + 4.5), 'centre')}`
}

/** The collar's level, and the bone margin left and right of the fixture there. */
export function marginMarks(
  view: View,
  plan: Plan,
  assessment: Assessment | null,
  depthMm: number,
  spread: number,
): SVGTemplateResult {
  const at = onFixture(view, plan)
  const r = radiusAtMm(fixtureProfile(plan.fixture.shape), depthMm)
  const perMm = 1 / view.mmPerPixel
  const level = line(at(depthMm, -r), at(depthMm, r), 'dash')
  if (assessment === null) return level
  const side = (angleDeg: 0 | 180): SVGTemplateResult => {
    const sign = angleDeg === 0 ? 1 : -1
    const { margin } = assessment
    const cell = nearestCell(margin, depthMm, angleDeg)
    const start = at(depthMm, sign * r)
    if (cell.radialMm === null) {
      const end = at(depthMm, sign * (r + 12 / perMm))
      return svg`${line(start, end, 'thin')}${label(at(depthMm, sign * (r + 18 / perMm)), 'no number', sign > 0 ? 'end' : 'start')}`
    }
    const sector = margin.sectors[angleDeg === 0 ? 'facial' : 'palatal'] ?? margin.sectors.lingual
    const kind = sector !== undefined && cell.radialMm < sector.limitMm ? 'below' : ''
    const text = tolerance(cell.radialMm, cell.toleranceMm)
    return dimension(start, at(depthMm, sign * (r + cell.radialMm)), text, {
      // Through the plate the dimension runs inwards; its number stays outside.
      place: cell.radialMm < 0 ? 'before' : 'beyond',
      reach: spread,
      kind,
    })
  }
  return svg`${level}${side(0)}${side(180)}`
}

/** The tilt: the angle between the fixture axis and the crown's long axis, beyond the apex (ISO 129-1, angular dimension). */
export function tiltMarks(view: View, plan: Plan): SVGTemplateResult {
  const { facialDeg } = tiltOf(plan)
  const frame = fixtureFrame(plan.fixture, plan.site.facial)
  const { lengthMm } = fixtureProfile(plan.fixture.shape)
  const site = siteFrame(plan)
  const centre = toPixel(view, frame.origin)
  const reach = lengthMm + 3.4
  const tip = toPixel(view, along(frame.origin, frame.z, reach))
  const upright = toPixel(view, along(frame.origin, site.apical, reach))
  const radius = Math.hypot(tip[0] - centre[0], tip[1] - centre[1])
  const angle = (p: Pixel): number => Math.atan2(p[1] - centre[1], p[0] - centre[0])
  const from = angle(upright)
  const to = angle(tip)
  const on = (a: number, k = 1): Pixel => [
    centre[0] + radius * k * Math.cos(a),
    centre[1] + radius * k * Math.sin(a),
  ]
  const sweep = to > from ? 1 : 0
  const arc = `M${on(from).join(',')}A${radius},${radius} 0 0 ${sweep} ${on(to).join(',')}`
  const small = Math.abs(to - from) * radius < 22
  const tangent = (a: number, sign: number): Pixel => [-Math.sin(a) * sign, Math.cos(a) * sign]
  const s = sweep === 1 ? 1 : -1
  const lean = facialDeg >= 0 ? 'facial' : oralSide(plan.site.tooth)
  const text = `tilt ${deg(Math.abs(facialDeg))}${Math.abs(facialDeg) < 0.05 ? '' : ` ${lean}`}`
  const [rightmost, leftmost] = on(from)[0] > on(to)[0] ? [on(from), on(to)] : [on(to), on(from)]
  // Left of the buttons in the lower right corner.
  const end = rightmost[1] > view.height - buttonTop ? view.width - buttonRoom : view.width
  const room = end - rightmost[0] > textWidth(text) + 20
  const at: Pixel = room ? [rightmost[0] + 10, rightmost[1] + 4] : [leftmost[0] - 10, leftmost[1] + 4]
  return svg`${line(on(from, 0.86), on(from, 1.05), 'thin')}${cased(arc, 'thin')}
    ${small ? '' : svg`${arrow(on(to), tangent(to, s), '')}${arrow(on(from), tangent(from, -s), '')}`}
    ${label(at, text, room ? 'start' : 'end')}`
}

/** Depth of the platform below the crown's cervical plane, beside the fixture. */
export function depthMarks(view: View, plan: Plan, radiusMm: number): SVGTemplateResult {
  const site = siteFrame(plan)
  const offset: readonly [number, number, number] = [
    plan.fixture.platform[0] - site.origin[0],
    plan.fixture.platform[1] - site.origin[1],
    plan.fixture.platform[2] - site.origin[2],
  ]
  const [, , depthMm] = inSite(site, offset)
  // On the side where the margin's lettering runs away from it.
  const side = tiltOf(plan).facialDeg > 8 ? 1 : -1
  const inner: Vec3 = along(plan.fixture.platform, site.facial, side * (radiusMm + 4.6))
  const bottom = toPixel(view, inner)
  const top = toPixel(view, along(inner, site.apical, -depthMm))
  const from = toPixel(view, along(plan.fixture.platform, site.facial, side * radiusMm))
  const cervical = toPixel(
    view,
    along(along(plan.fixture.platform, site.apical, -depthMm), site.facial, side * (radiusMm + 1.4)),
  )
  const [x, y] = [(top[0] + bottom[0]) / 2, (top[1] + bottom[1]) / 2]
  const left = x < from[0]
  const long = `${mm(depthMm, 1)} apical of CEJ`
  const text = textWidth(long) + 18 > (left ? x : view.width - x) ? mm(depthMm, 1) : long
  const at = onSheet(left ? x - 10 - textWidth(text) : x + 10, text, view.width)
  return svg`${line(from, bottom, 'thin')}${line(cervical, top, 'thin')}${dimension(top, bottom, '', {})}
    ${label([at, y + 4], text, 'start')}`
}
