import type { AppliedCalibration, DensityResult, DepthDensity } from '@alveometer/core'
import { css, html, type SVGTemplateResult, svg, type TemplateResult } from 'lit'
import { path } from '../drawing/lines.js'
import type { Pixel } from '../drawing/view.js'
import { grey, plain } from '../text/format.js'

const WIDTH = 272
const TOP = 20
const LEFT = 22
const BETWEEN = 14
const PLOT = { width: (WIDTH - LEFT - BETWEEN - 10) / 2, height: 120 }

type Profile = readonly DepthDensity[]

/** Grey to the right, depth down: the same for both plots. */
interface Scales {
  readonly lengthMm: number
  readonly low: number
  readonly high: number
  readonly x: (grey: number) => number
  readonly y: (depthMm: number) => number
}

/** Grey values of body and shell along the depth, two plots in thin lines; null where there are none. */
export function depthProfile({ core, shell, calibrated }: DensityResult): TemplateResult | null {
  const body = core?.profile ?? []
  const round = shell?.profile ?? []
  const scales = scalesOf(body, round)
  if (scales === null) return null
  const height = TOP + PLOT.height + (calibrated === null ? 18 : 32)
  return html`<svg class="profile" viewBox="0 0 ${WIDTH} ${height}" role="img"
      aria-label="Grey value by depth. ${inWords('Body', body)} ${inWords('Shell', round)}">
      <defs><pattern id="spread" width="4" height="4" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
        <path class="fine" d="M0,0V4"></path></pattern></defs>
      ${plot('body', body, scales, LEFT, calibrated)}
      ${plot('0.5 mm shell', round, scales, LEFT + PLOT.width + BETWEEN, calibrated)}
      ${depthTicks(scales)}
    </svg>
    <p class="keys" aria-hidden="true">
      ${key('median', 'M0,6H20', 'median')}${key('mean', 'M0,6H20', 'mean')}${key('bone', 'M0,6H20', 'mean in bone')}
      ${key('spread', 'M0,1H20V11H0Z', '5–95\u2009%')}<span>down: mm; across: grey${calibrated === null ? '' : ', estimated HU'}</span>
    </p>`
}

function scalesOf(body: Profile, round: Profile): Scales | null {
  const bins = body.length > 0 ? body : round
  const first = bins[0]
  const last = bins[bins.length - 1]
  const greys = [...body, ...round].flatMap(({ p5, p95 }) => (p5 === null || p95 === null ? [] : [p5, p95]))
  if (first === undefined || last === undefined || greys.length === 0) return null
  const lengthMm = first.depthMm + last.depthMm
  const least = Math.min(...greys)
  const pad = 0.05 * Math.max(1, Math.max(...greys) - least)
  const [low, high] = [least - pad, Math.max(...greys) + pad]
  return {
    lengthMm,
    low,
    high,
    x: (value) => ((value - low) / (high - low)) * PLOT.width,
    y: (depthMm) => TOP + (depthMm / lengthMm) * PLOT.height,
  }
}

function plot(
  name: string,
  bins: Profile,
  scales: Scales,
  left: number,
  calibrated: AppliedCalibration | null,
): SVGTemplateResult {
  const { x, y, lengthMm } = scales
  const foot = TOP + PLOT.height
  const places = (value: (bin: DepthDensity) => number | null) =>
    bins.map((bin): Pixel | null => {
      const v = value(bin)
      return v === null ? null : [left + x(v), y(bin.depthMm)]
    })
  const curve = (kind: string, value: (bin: DepthDensity) => number | null) =>
    svg`<path class=${kind} d=${runs(places(value))
      .map((run) => path(run))
      .join('')}></path>`
  const thirds = [1, 2].map((n) => `M${left},${y((n * lengthMm) / 3).toFixed(1)}h${PLOT.width}`).join('')
  return svg`<text x=${left} y=${TOP - 7}>${name}</text>
    <path class="fine" d=${thirds}></path>
    <path class="spread" d=${spreadPath(
      places((b) => b.p5),
      places((b) => b.p95),
    )}></path>
    ${curve('bone', (b) => b.boneMean)}${curve('mean', (b) => b.mean)}${curve('median', (b) => b.median)}
    <path class="frame" d="M${left},${TOP}h${PLOT.width}v${PLOT.height}h${-PLOT.width}z"></path>
    ${greyTicks(scales, left, foot)}
    ${calibrated === null ? '' : huTicks(scales, calibrated, left, foot)}`
}

/** Stretches without a gap. */
function runs(places: readonly (Pixel | null)[]): Pixel[][] {
  const found: Pixel[][] = [[]]
  for (const place of places) {
    if (place === null) found.push([])
    else found[found.length - 1]?.push(place)
  }
  return found.filter((run) => run.length > 0)
}

/** Down along the low side, up along the high one, stretch by stretch. */
function spreadPath(low: readonly (Pixel | null)[], high: readonly (Pixel | null)[]): string {
  const back = runs(high)
  return runs(low)
    .map((run, n) => path([...run, ...[...(back[n] ?? [])].reverse()], true))
    .join('')
}

/** Ticks at round numbers on the scale's own foot. */
function greyTicks({ low, high, x }: Scales, left: number, foot: number): SVGTemplateResult[] {
  return roundNumbers(low, high).map((value) => tick(left + x(value), foot, 4, grey(value)))
}

function huTicks(
  { low, high, x }: Scales,
  { slope, intercept }: AppliedCalibration,
  left: number,
  foot: number,
): SVGTemplateResult {
  const ticks = roundNumbers(slope * low + intercept, slope * high + intercept).map((hu) =>
    tick(left + x((hu - intercept) / slope), foot + 17, 3, grey(hu)),
  )
  return svg`<path class="fine" d="M${left},${foot + 17}h${PLOT.width}"></path>${ticks}`
}

const tick = (x: number, y: number, length: number, text: string): SVGTemplateResult =>
  svg`<path class="frame" d="M${x.toFixed(1)},${y}v${length}"></path>
    <text class="number" x=${x.toFixed(1)} y=${y + length + 10} text-anchor="middle">${text}</text>`

const depthTicks = ({ lengthMm, y }: Scales): SVGTemplateResult[] =>
  [0, lengthMm / 2, lengthMm].map(
    (mm) => svg`<path class="frame" d="M${LEFT},${y(mm).toFixed(1)}h-4"></path>
      <text class="number" x=${LEFT - 6} y=${(y(mm) + 4).toFixed(1)} text-anchor="end">${plain(mm, Number.isInteger(mm) ? 0 : 1)}</text>`,
  )

/** Two or three round numbers between two values. */
function roundNumbers(low: number, high: number): number[] {
  const rough = (high - low) / 3
  const power = 10 ** Math.floor(Math.log10(rough))
  const step = power * ([1, 2, 5].find((m) => m * power >= rough) ?? 10)
  const first = Math.ceil(low / step)
  return Array.from({ length: Math.floor(high / step) - first + 1 }, (_, n) => (first + n) * step)
}

const key = (kind: string, d: string, text: string): TemplateResult =>
  html`<span><svg class="key" viewBox="0 0 20 12"><path class=${kind} d=${d}></path></svg>${text}</span>`

/** The ends of a profile for those who do not see it. */
function inWords(name: string, bins: Profile): string {
  const known = bins.filter(({ median }) => median !== null)
  const [first, last] = [known[0], known[known.length - 1]]
  if (first?.median == null || last?.median == null) return `${name}: no data.`
  return `${name}: median ${grey(first.median)} at ${plain(first.depthMm, 1)} mm, ${grey(last.median)} at ${plain(last.depthMm, 1)} mm.`
}

export const depthProfileStyle = css`
  svg.profile {
    display: block;
    width: 100%;
    max-width: 20rem;
    margin-top: 0.4rem;
    overflow: visible;
  }
  .profile text {
    fill: var(--ink-2);
    font-size: 11px;
  }
  .profile text.number {
    fill: var(--ink);
    font-size: 10.5px;
  }
  .profile path,
  .key path {
    fill: none;
    stroke: var(--ink);
    stroke-width: 1;
    stroke-linejoin: round;
  }
  .profile path.frame {
    stroke: var(--frame);
  }
  .profile path.fine {
    stroke: var(--rule);
    stroke-width: 0.8;
  }
  .profile path.spread,
  .key path.spread {
    fill: url(#spread);
    stroke: var(--ink-2);
    stroke-width: 0.7;
  }
  .profile path.median,
  .key path.median {
    stroke-width: 1.6;
  }
  .profile path.mean,
  .key path.mean {
    stroke-dasharray: 5 3;
  }
  .profile path.bone,
  .key path.bone {
    stroke: var(--ink-2);
    stroke-dasharray: 1.2 2.4;
    stroke-width: 1.3;
  }
  .keys {
    display: flex;
    flex-wrap: wrap;
    gap: 0 0.7rem;
    margin-top: 0.15rem;
    font-size: var(--small);
    color: var(--ink-2);
  }
  .keys > span {
    display: inline-flex;
    gap: 0.3rem;
    align-items: center;
    white-space: nowrap;
  }
  svg.key {
    width: 20px;
    height: 12px;
  }
`
