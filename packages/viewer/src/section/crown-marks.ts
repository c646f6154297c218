import { type Assessment, dot, fixtureFrame, type Plan, subtract, type Vec3 } from '@alveometer/core'
import { nothing, type SVGTemplateResult, svg } from 'lit'
import { cased, line, path } from '../drawing/lines.js'
import { type Pixel, toPixel, type View } from '../drawing/view.js'
import { onFixture } from './fixture-marks.js'

/** The channel as the section cuts it, in the fixture's depth (coronal: negative) and radius (facial: positive), mm. */
export interface Bore {
  readonly radiusMm: number
  /** Where each of the two walls enters and leaves the crown; null for one that does not meet it. */
  readonly facial: Run | null
  readonly oral: Run | null
}

/** What of an assessment tells where a channel runs. */
export interface Drilled {
  readonly exit: Pick<Assessment['exit'], 'point'>
  readonly channel: Pick<Assessment['channel'], 'diameterMm'>
}

type Run = readonly [fromMm: number, toMm: number]

/** The channel in the section; null where its axis does not meet the crown. */
export function boreOf(
  plan: Plan,
  { exit, channel }: Drilled,
  outline: readonly (readonly Vec3[])[],
): Bore | null {
  if (exit.point === null) return null
  const frame = fixtureFrame(plan.fixture, plan.site.facial)
  const loops = outline.map((loop) =>
    loop.map((p) => {
      const d = subtract(p, frame.origin)
      return [dot(d, frame.x), dot(d, frame.z)] as const
    }),
  )
  const radiusMm = channel.diameterMm / 2
  return { radiusMm, facial: runAt(loops, radiusMm), oral: runAt(loops, -radiusMm) }
}

/** Where a line along the fixture axis runs within closed lines, from the platform on: first entry and last exit. */
function runAt(loops: readonly (readonly (readonly [number, number])[])[], radiusMm: number): Run | null {
  const depths = loops
    .flatMap((loop) =>
      loop.flatMap(([r, depth], n) => {
        const [nextR, nextDepth] = loop[(n + 1) % loop.length]
        if (r < radiusMm === nextR < radiusMm) return []
        return [depth + ((radiusMm - r) / (nextR - r)) * (nextDepth - depth)]
      }),
    )
    .filter((depth) => depth < 0)
    .sort((a, b) => b - a)
  if (depths.length === 0) return null
  // An odd number of crossings: the platform itself lies inside the crown.
  return [depths.length % 2 === 1 ? 0 : depths[0], depths[depths.length - 1]]
}

/** How far the cut-out runs on beyond what it cuts, mm. */
const beyondMm = 3

/** The crown cut by the section: outline and hatching (ISO 128-3, sections), open where the channel runs. */
export function crownMarks(
  view: View,
  plan: Plan,
  outline: readonly (readonly Vec3[])[],
  bore: Bore | null,
): SVGTemplateResult {
  const d = outline
    .map((loop) =>
      path(
        loop.map((p) => toPixel(view, p)),
        true,
      ),
    )
    .join('')
  const crown = svg`<path class="hatching" fill="url(#hatch)" d=${d} fill-rule="evenodd"></path>${cased(d, 'out')}`
  const runs = [bore?.facial, bore?.oral].flatMap((run) => (run ? [run] : []))
  if (bore === null || runs.length === 0) return crown
  const at = onFixture(view, plan)
  // Where the platform stands in the crown the channel begins there; else the crown is open towards it.
  const from = runs.some(([start]) => start === 0) ? 0 : Math.max(...runs.map(([start]) => start)) + beyondMm
  const to = Math.min(...runs.map(([, end]) => end)) - beyondMm
  const r = bore.radiusMm
  const sheet = `M0,0H${view.width}V${view.height}H0Z`
  const strip = path([at(from, r), at(to, r), at(to, -r), at(from, -r)], true)
  return svg`<clipPath id="beside-bore"><path clip-rule="evenodd" d=${sheet + strip}></path></clipPath>
    <g clip-path="url(#beside-bore)">${crown}</g>`
}

/** The walls of the access channel in the crown, at its real diameter, and the rim of its opening. */
export function channelMarks(
  view: View,
  plan: Plan,
  bore: Bore,
  rim: readonly Vec3[] | null,
): SVGTemplateResult {
  const at = onFixture(view, plan)
  const wall = (run: Run | null, radiusMm: number): SVGTemplateResult | typeof nothing =>
    run === null ? nothing : line(at(run[0], radiusMm), at(run[1], radiusMm), 'thin')
  const opening: Pixel[] = (rim ?? []).map((p) => toPixel(view, p))
  return svg`${wall(bore.facial, bore.radiusMm)}${wall(bore.oral, -bore.radiusMm)}${cased(path(opening, true), 'thin')}`
}
