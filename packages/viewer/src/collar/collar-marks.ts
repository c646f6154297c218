import {
  type Assessment,
  along,
  axisPoint,
  fixtureFrame,
  fixtureProfile,
  type Plan,
  radialDirection,
  radiusAtMm,
} from '@alveometer/core'
import { type SVGTemplateResult, svg } from 'lit'
import { cased, dimension, label, onSheet, path, textWidth } from '../drawing/lines.js'
import { nearestCell, nearestRow } from '../drawing/margin-at.js'
import { type Pixel, toPixel, type View } from '../drawing/view.js'
import { mesialSign } from '../session/site-frame.js'
import { tolerance } from '../text/format.js'

/** A function from angle and distance from the axis to the drawing, at one depth. */
function onCollar(view: View, plan: Plan, depthMm: number): (angleDeg: number, distanceMm: number) => Pixel {
  const frame = fixtureFrame(plan.fixture, plan.site.facial)
  const middle = axisPoint(frame, depthMm)
  return (angleDeg, distanceMm) => toPixel(view, along(middle, radialDirection(frame, angleDeg), distanceMm))
}

const arc = (at: (a: number, r: number) => Pixel, from: number, to: number, radius: number): string => {
  const steps = Math.max(8, Math.ceil(Math.abs(to - from) / 5))
  return path(Array.from({ length: steps + 1 }, (_, n) => at(from + ((to - from) * n) / steps, radius)))
}

export function circlePath(view: View, plan: Plan, depthMm: number): string {
  const radius = radiusAtMm(fixtureProfile(plan.fixture.shape), depthMm)
  return `${arc(onCollar(view, plan, depthMm), 0, 360, radius)}Z`
}

/** The sector of an angle: a quarter each, facial about 0 degrees. */
export function sectorAt(plan: Plan, angleDeg: number, sectors: Readonly<Record<string, unknown>>): string {
  const quarter = (((Math.round(angleDeg / 90) % 4) + 4) % 4) as 0 | 1 | 2 | 3
  const plusY = mesialSign(plan.site.tooth) > 0 ? 'mesial' : 'distal'
  const minusY = plusY === 'mesial' ? 'distal' : 'mesial'
  const inner = 'palatal' in sectors ? 'palatal' : 'lingual'
  return ['facial', plusY, inner, minusY][quarter] as string
}

/** Fixture, limit and bone as they lie at the collar, and the margin in some directions. */
export function collarMarks(
  view: View,
  plan: Plan,
  assessment: Assessment | null,
  depthMm: number,
  directions: number,
): SVGTemplateResult {
  const at = onCollar(view, plan, depthMm)
  const radius = radiusAtMm(fixtureProfile(plan.fixture.shape), depthMm)
  const circle = cased(circlePath(view, plan, depthMm), 'out hand')
  const cross = cased(
    path([at(0, radius * 1.25), at(180, radius * 1.25)]) +
      path([at(90, radius * 1.25), at(270, radius * 1.25)]),
    'centre',
  )
  if (assessment === null) return svg`${circle}${cross}`
  const { margin } = assessment
  const limits = [0, 90, 180, 270].map((middle) => {
    const sector = margin.sectors[sectorAt(plan, middle, margin.sectors)]
    return sector === undefined ? '' : arc(at, middle - 45, middle + 45, radius + sector.limitMm)
  })
  const rays = Array.from({ length: directions }, (_, n) => {
    const angle = (360 * n) / directions
    const cell = nearestCell(margin, depthMm, angle)
    if (cell.radialMm === null) {
      const [x, y] = at(angle, radius + 1.1)
      return label([x, y + 4], '–', 'middle')
    }
    const limit = margin.sectors[sectorAt(plan, angle, margin.sectors)]?.limitMm ?? 0
    const kind = cell.radialMm < limit ? 'below' : ''
    const end = at(angle, radius + cell.radialMm)
    const [x, y] = at(angle, radius + Math.max(0, cell.radialMm))
    const far = at(angle, radius + Math.max(0, cell.radialMm) + 1)
    const size = Math.hypot(far[0] - x, far[1] - y)
    const out: Pixel = [(far[0] - x) / size, (far[1] - y) / size]
    const text = tolerance(cell.radialMm, cell.toleranceMm)
    const shift = out[0] > 0.3 ? 0 : out[0] < -0.3 ? 1 : 0.5
    const left = onSheet(x + out[0] * 12 - shift * textWidth(text), text, view.width)
    // Clear of the words at the upper and lower edge, however far away the bone ends.
    const beside = Math.abs(out[1]) < 0.3 ? 16 : 4
    const level = Math.max(40, Math.min(view.height - 34, y + out[1] * 14 + beside))
    return svg`${dimension(at(angle, radius), end, '', { kind })}
      ${label([left, level], text, 'start', kind)}`
  })
  return svg`${boneOutline(at, assessment, depthMm, radius)}${cased(limits.join(''), 'dash')}${circle}${cross}${rays}`
}

/** The outer surface of bone at this depth, as far as the map holds numbers. */
function boneOutline(
  at: (a: number, r: number) => Pixel,
  assessment: Assessment,
  depthMm: number,
  radius: number,
): SVGTemplateResult {
  const { margin } = assessment
  const values = margin.radialMm[nearestRow(margin, depthMm)] ?? []
  const points = margin.anglesDeg.map((angle, column) => {
    const radialMm = values[column] ?? null
    return radialMm === null ? null : at(angle, radius + radialMm)
  })
  const pieces = points.map((p, n) => {
    const next = points[(n + 1) % points.length] ?? null
    return p === null || next === null ? '' : path([p, next])
  })
  return cased(pieces.join(''), 'thin')
}
