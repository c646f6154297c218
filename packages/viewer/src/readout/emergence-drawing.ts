import type { EmergenceProfile } from '@alveometer/core'
import { html, nothing, svg, type TemplateResult } from 'lit'

/** How the drawing lies: facial above, as the collar. */
export interface EmergenceDrawn {
  readonly mesialRight: boolean
  readonly oral: 'palatal' | 'lingual'
  readonly limitDeg: number | null
}

const size = 132
const middle = size / 2
/** The rim's radius, pixels, and how far out 45 degrees are drawn. */
const rim = 15
const reach = 30
const fullDeg = 45

/** The emergence angle in eight directions round the rim: longer where it widens more, with its number; the limit is the dashed ring. */
export function emergenceDrawing(
  profile: readonly EmergenceProfile[],
  { mesialRight, oral, limitDeg }: EmergenceDrawn,
): TemplateResult {
  const out = (emergenceDeg: number): number =>
    rim + reach * Math.max(-0.4, Math.min(1, emergenceDeg / fullDeg))
  const spokes = profile.map((p) => {
    const [x, y] = directionOf(p.side, mesialRight)
    return { ...p, x, y, far: out(p.emergenceDeg), above: limitDeg !== null && p.emergenceDeg > limitDeg }
  })
  const shape = spokes.map(({ x, y, far }) => `${middle + far * x},${middle + far * y}`).join(' ')
  const told = spokes.map((s) => `${s.side.replace('oral', oral)} ${Math.round(s.emergenceDeg)}°`).join(', ')
  return html`<svg class="emergence" viewBox="0 0 ${size} ${size}" role="img" aria-label="Emergence angles: ${told}">
    <circle class="rim" cx=${middle} cy=${middle} r=${rim}></circle>
    ${limitDeg === null ? nothing : svg`<circle class="limit" cx=${middle} cy=${middle} r=${out(limitDeg)}></circle>`}
    <polygon class="shape" points=${shape}></polygon>
    ${spokes.map(
      ({ x, y, far, emergenceDeg, above }) =>
        svg`<line class="spoke" x1=${middle + rim * x} y1=${middle + rim * y} x2=${middle + far * x} y2=${middle + far * y}></line>
          <text class=${above ? 'above' : ''} x=${middle + 55 * x} y=${middle + 55 * y + 4}>${Math.round(emergenceDeg)}°</text>`,
    )}
    <text class="side" x=${middle} y=${middle + 3.5}>${mesialRight ? 'd  m' : 'm  d'}</text>
  </svg>`
}

/** The direction of a side on the drawing, a unit vector with y downwards. */
function directionOf(side: EmergenceProfile['side'], mesialRight: boolean): readonly [number, number] {
  const mesial = side.startsWith('mesi') ? 1 : side.startsWith('dist') ? -1 : 0
  const facial = side.includes('facial') ? 1 : side.includes('oral') ? -1 : 0
  const length = Math.hypot(mesial, facial)
  return [((mesialRight ? 1 : -1) * mesial) / length, -facial / length]
}
