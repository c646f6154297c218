import { along, cross, dot, type MissCloud, normalize, subtract, type Vec3 } from '@alveometer/core'
import { css, nothing, type SVGTemplateResult, svg } from 'lit'
import { path } from '../drawing/lines.js'
import { type Pixel, toPixel, type View } from '../drawing/view.js'

/** How far the axes of a cloud are drawn from the platform, mm: to the apex, and to where their channels leave the crown. */
export interface CloudReach {
  readonly apicalMm: number
  readonly coronalMm: number
}

/** Axes fainter than the plan's own drawing and without its casings, so that many of them stay a haze. */
export const cloudMarksStyle = css`
  .misses path:not(.hatching) {
    stroke: var(--line);
    stroke-width: 0.8;
    stroke-opacity: 0.28;
  }
  .misses path.breaks:not(.hatching) {
    stroke: var(--below-line);
    stroke-opacity: 0.4;
    stroke-dasharray: 5 3;
  }
  .misses path.dots:not(.hatching) {
    stroke-width: 3.4;
    stroke-linecap: round;
    stroke-opacity: 0.55;
  }
  .misses path.dots.breaks:not(.hatching) {
    stroke-width: 1.2;
    stroke-linecap: butt;
    stroke-opacity: 0.8;
    stroke-dasharray: none;
  }
`

type Drawn = MissCloud['poses'][number]

/** The axes of a cloud's placements on a drawing: thin lines where all limits hold, dashed where one is missed. */
export function missAxes(
  { poses }: Pick<MissCloud, 'poses'>,
  view: View,
  { apicalMm, coronalMm }: CloudReach,
): SVGTemplateResult | typeof nothing {
  const axis = ({ platform, apical }: Drawn): string => {
    const direction = normalize(apical)
    return path([
      toPixel(view, along(platform, direction, -coronalMm)),
      toPixel(view, along(platform, direction, apicalMm)),
    ])
  }
  return layers(poses, axis, axis, '')
}

/** Where the axes of a cloud's placements pass through a drawing's plane: dots where all limits hold, crosses where one is missed. */
export function missDots(
  { poses }: Pick<MissCloud, 'poses'>,
  view: View,
): SVGTemplateResult | typeof nothing {
  const normal = cross(view.right, view.down)
  const through = (pose: Drawn): Pixel | null => {
    const point = crossing(pose, view.centre, normal)
    return point === null ? null : toPixel(view, point)
  }
  const dot = (pose: Drawn): string => {
    const at = through(pose)
    return at === null ? '' : `M${at[0].toFixed(1)},${at[1].toFixed(1)}h0.01`
  }
  const mark = (pose: Drawn): string => {
    const at = through(pose)
    if (at === null) return ''
    const [x, y] = [at[0].toFixed(1), at[1].toFixed(1)]
    return `M${x},${y}m-2.2,-2.2l4.4,4.4m0,-4.4l-4.4,4.4`
  }
  return layers(poses, dot, mark, 'dots')
}

/** Where an axis passes through a plane; null when it runs along it. */
export function crossing(
  { platform, apical }: Pick<Drawn, 'platform' | 'apical'>,
  inPlane: Vec3,
  normal: Vec3,
): Vec3 | null {
  const rate = dot(apical, normal)
  if (Math.abs(rate) < 1e-9) return null
  return along(platform, apical, dot(subtract(inPlane, platform), normal) / rate)
}

/** Those that miss a limit lie above the others. */
function layers(
  poses: readonly Drawn[],
  holds: (pose: Drawn) => string,
  breaks: (pose: Drawn) => string,
  kind: string,
): SVGTemplateResult | typeof nothing {
  if (poses.length === 0) return nothing
  const drawn = (held: boolean, draw: (pose: Drawn) => string): string =>
    poses
      .filter((pose) => pose.holds === held)
      .map(draw)
      .join('')
  return svg`<g class="misses" aria-hidden="true"><path class="holds ${kind}" d=${drawn(true, holds)}></path>
    <path class="breaks ${kind}" d=${drawn(false, breaks)}></path></g>`
}
