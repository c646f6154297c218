import type { Polyline, Vec3 } from '@alveometer/core'
import { nothing, type SVGTemplateResult, svg } from 'lit'
import { deg } from '../text/format.js'
import type { AccessLines } from './access-shapes.js'
import { type GraftCut, graftSection } from './graft-cut.js'
import { axisLetters, type Orbit, type PixelSize, project } from './orbit.js'
import type { ScenePlacement } from './placement.js'

export interface OverlayContent {
  readonly placement: ScenePlacement | null
  readonly exitWord: string
  readonly access: AccessLines
  /** The crown's outline in the cut; empty when there is no cut. */
  readonly crownOutline: readonly Polyline[]
  /** The graft in the cut; null without a graft or a cut. */
  readonly graft: GraftCut | null
}

/** Drawn over the bodies: centre lines of fixture and channel, the exit, what a bent channel reaches, orientation. */
export function overlay(orbit: Orbit, size: PixelSize, content: OverlayContent): SVGTemplateResult {
  const { placement, exitWord, access, crownOutline, graft } = content
  const outline = crownOutline
    .map(
      ({ points, closed }) =>
        `M${points.map((p) => pixels(project(orbit, size, p))).join('L')}${closed ? 'Z' : ''}`,
    )
    .join('')
  return svg`
    ${graft === null ? nothing : graftSection(orbit, size, graft)}
    ${outline === '' ? nothing : svg`<path class="outline" d=${outline}></path>`}
    ${access.reach === null ? nothing : closed(orbit, size, access.reach, 'reach')}
    ${placement === null ? nothing : channel(orbit, size, placement, access.rim, exitWord)}
    ${access.bend === null ? nothing : bend(orbit, size, access.bend)}
    ${compass(orbit, size)}`
}

const pixels = ([x, y]: readonly [number, number]): string => `${x.toFixed(1)},${y.toFixed(1)}`

const closed = (orbit: Orbit, size: PixelSize, points: readonly Vec3[], kind: string) =>
  svg`<polygon class=${kind} points=${points.map((p) => pixels(project(orbit, size, p))).join(' ')}></polygon>`

/** The bent centre line, lettered at its middle, where the compass in the lower left corner is far. */
function bend(orbit: Orbit, size: PixelSize, { line, deg: angle }: NonNullable<AccessLines['bend']>) {
  const [[x1, y1], [x2, y2]] = [project(orbit, size, line[0]), project(orbit, size, line[1])]
  const [x, y] = [(x1 + x2) / 2, (y1 + y2) / 2]
  const away = x + 150 < size.width ? 1 : -1
  return svg`
    <line class="halo" x1=${x1} y1=${y1} x2=${x2} y2=${y2}></line>
    <line class="bend" x1=${x1} y1=${y1} x2=${x2} y2=${y2}></line>
    <polyline class="leader" points="${x},${y} ${x + away * 16},${y - 10} ${x + away * 66},${y - 10}"></polyline>
    <text class="label" x=${x + away * 70} y=${y - 6} text-anchor=${away > 0 ? 'start' : 'end'}>bend ${deg(angle)}</text>`
}

function channel(
  orbit: Orbit,
  size: PixelSize,
  placement: ScenePlacement,
  rim: readonly Vec3[] | null,
  exitWord: string,
) {
  const [[x1, y1], [x2, y2]] = placement.channel.map((p) => project(orbit, size, p)) as [
    [number, number],
    [number, number],
  ]
  const ring = (rim ?? placement.ring)?.map((p) => project(orbit, size, p))
  return svg`
    <line class="halo" x1=${x1} y1=${y1} x2=${x2} y2=${y2}></line>
    <line class="axis" x1=${x1} y1=${y1} x2=${x2} y2=${y2}></line>
    ${ring === undefined ? nothing : exitMark(ring, size, exitWord)}`
}

function exitMark(ring: readonly (readonly [number, number])[], size: PixelSize, word: string) {
  const points = ring.map(pixels).join(' ')
  const right = ring.reduce((a, b) => (b[0] > a[0] ? b : a), [0, 0] as readonly [number, number])
  const room = right[0] + 120 < size.width
  const from = room ? right : ring.reduce((a, b) => (b[0] < a[0] ? b : a), right)
  const away = room ? 1 : -1
  const [x, y] = [from[0] + away * 26, from[1] + 14]
  return svg`
    <polygon class="halo" points=${points}></polygon>
    <polygon class="exit" points=${points}></polygon>
    <polyline class="leader" points="${from[0]},${from[1]} ${x - away * 12},${y} ${x},${y}"></polyline>
    <text class="label" x=${x + away * 4} y=${y + 4} text-anchor=${room ? 'start' : 'end'}>${word}</text>`
}

const ARM_PX = 22

/** The patient's axes: full lines and letters towards the viewer, thin broken ones away. */
function compass(orbit: Orbit, size: PixelSize) {
  const [cx, cy] = [44, size.height - 44]
  const arms = axisLetters(orbit).sort((a, b) => a.towards - b.towards)
  return svg`<g class="compass">${arms.map((arm) => {
    const towards = arm.towards > -0.02
    const hidden = arm.towards < -0.8
    const [x, y] = [cx + arm.right * ARM_PX, cy - arm.up * ARM_PX]
    const [tx, ty] = [cx + arm.right * (ARM_PX + 9), cy - arm.up * (ARM_PX + 9)]
    return svg`
      <line class=${towards ? 'arm' : 'arm away'} x1=${cx} y1=${cy} x2=${x} y2=${y}></line>
      ${hidden ? nothing : svg`<text class=${towards ? 'letter' : 'letter away'} x=${tx} y=${ty + 4}>${arm.letter}</text>`}`
  })}</g>`
}
