import { nothing, type SVGTemplateResult, svg } from 'lit'
import { cased, path } from './lines.js'
import type { Pixel } from './view.js'

/** Closed lines of a graft on a drawing, pixels: as it is built, and what is expected to remain of it. */
export interface GraftShape {
  readonly built: readonly (readonly Pixel[])[]
  readonly kept: readonly (readonly Pixel[])[]
}

/** How much of it there is to be seen. */
export interface GraftLayersShown {
  readonly kept: boolean
  readonly lost: boolean
}

/**
 * Hatchings of a graft (ISO 128-3: parts beside each other are told apart by the direction or the spacing): what
 * remains dense and across the crown's, what resorbs dotted. On a shade, as the picture below it may be of any grey.
 */
export const graftPatterns = svg`<pattern id="graft-kept" width="4.5" height="4.5" patternUnits="userSpaceOnUse"
    patternTransform="rotate(-45)">
    <rect class="shade" width="4.5" height="4.5"></rect><line class="graft-line" x1="2.25" y1="0" x2="2.25" y2="4.5"></line>
  </pattern>
  <pattern id="graft-lost" width="6" height="6" patternUnits="userSpaceOnUse">
    <rect class="shade" width="6" height="6"></rect>
    <circle class="graft-dot" cx="1.5" cy="1.5" r="0.9"></circle><circle class="graft-dot" cx="4.5" cy="4.5" r="0.9"></circle>
  </pattern>`

/**
 * A graft cut by a drawing: its outline as built, and inside it the line to which it is expected to resorb, as ISO 128-2
 * (05.1, long dashes and two dots) draws a final form within a blank.
 */
export function graftLayers({ built, kept }: GraftShape): SVGTemplateResult | typeof nothing {
  const outside = closed(built)
  const inside = closed(kept)
  if (outside === '' && inside === '') return nothing
  return svg`<g class="graft" data-graft>
    <path class="hatching lost" fill="url(#graft-lost)" fill-rule="evenodd" d=${outside + inside}></path>
    <path class="hatching kept" fill="url(#graft-kept)" fill-rule="evenodd" d=${inside}></path>
    ${cased(inside, 'phantom')}${cased(outside, 'thin built')}</g>`
}

const closed = (loops: readonly (readonly Pixel[])[]): string =>
  loops
    .filter((loop) => loop.length > 2)
    .map((loop) => path(loop, true))
    .join('')

/** What of a graft can be told apart: by their areas, as a loss too thin to see needs no key. */
export function layersShown({ built, kept }: GraftShape): GraftLayersShown {
  const whole = areaPx2(built)
  const left = areaPx2(kept)
  return { kept: left > 4, lost: whole - left > 4 }
}

/** The area within lines, pixels; a hole is wound the other way or lies within another line, so signs are summed. */
const areaPx2 = (loops: readonly (readonly Pixel[])[]): number =>
  Math.abs(
    loops.reduce(
      (sum, loop) =>
        sum +
        loop.reduce((part, [x, y], n) => {
          const [nextX, nextY] = loop[(n + 1) % loop.length] as Pixel
          return part + (x * nextY - nextX * y) / 2
        }, 0),
      0,
    ),
  )
