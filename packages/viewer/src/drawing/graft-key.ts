import { nothing, type SVGTemplateResult, svg } from 'lit'
import type { GraftLayersShown } from './graft-hatch.js'
import { buttonRoom, buttonTop } from './stage-style.js'

const swatchWidth = 24
const lineHeight = 19
/** Between the key and the drawing's edge, and around lettering, pixels. */
const edge = 12
const clear = 5

/** What the hatchings mean, drawn about the origin; `placeGraftKey` puts it into a corner that is free. */
export function graftKey(shown: GraftLayersShown, narrow: boolean): SVGTemplateResult | typeof nothing {
  const rows: (readonly [fill: string, words: string])[] = []
  if (shown.kept)
    rows.push([
      'graft-kept',
      !shown.lost ? 'graft' : narrow ? 'graft that remains' : 'graft expected to remain',
    ])
  if (shown.lost) rows.push(['graft-lost', narrow ? 'graft that resorbs' : 'graft expected to resorb'])
  if (rows.length === 0) return nothing
  return svg`<g class="key" data-key>${rows.map(
    ([fill, words], n) => svg`<g transform="translate(0 ${n * lineHeight})">
      <rect class="swatch" x="0.5" y="0.5" width=${swatchWidth} height="13" fill="url(#${fill})"></rect>
      <text x=${swatchWidth + 7} y="11">${words}</text></g>`,
  )}</g>`
}

interface Box {
  readonly left: number
  readonly top: number
  readonly right: number
  readonly bottom: number
}

const meet = (a: Box, b: Box): boolean =>
  a.left < b.right && b.left < a.right && a.top < b.bottom && b.top < a.bottom

/**
 * Puts the key into a corner where it covers no lettering, no handle and, if it can be had, no part of fixture or crown;
 * hides it where no corner is free. It stays in its corner as long as that is.
 * @param root what holds the drawing
 * @param buttons whether the lower right corner holds the zoom buttons
 */
export function placeGraftKey(root: ParentNode, buttons: boolean): void {
  const key = root.querySelector<SVGGElement>('[data-key]')
  const sheet = key?.ownerSVGElement?.getBoundingClientRect()
  if (key === null || sheet === undefined) return
  const { width, height } = key.getBBox()
  const onSheet = (e: Element): Box => {
    const { left, top, right, bottom } = e.getBoundingClientRect()
    return {
      left: left - sheet.left - clear,
      top: top - sheet.top - clear,
      right: right - sheet.left + clear,
      bottom: bottom - sheet.top + clear,
    }
  }
  const letters = [...root.querySelectorAll('text.note, .grip .mark')].map(onSheet)
  const bodies = [...root.querySelectorAll('path.out:not(.cas), path.built:not(.cas)')].map(onSheet)
  const left = edge
  const right = sheet.width - edge - width
  // Below the scale bar, or as high as the words at the upper edge leave room.
  const top = edge + 26
  const bottom = sheet.height - height - 40
  const places: Readonly<Record<string, readonly [number, number]>> = {
    'top-left': [left, top],
    'top-left-corner': [left, buttons ? top : edge],
    'top-left-edge': [left, buttons ? top : edge + 14],
    'top-right': [right, edge],
    'bottom-left': [left, bottom],
    'bottom-right': buttons ? [right, sheet.height - buttonTop - height - edge] : [right, bottom],
    'beside-buttons': [sheet.width - buttonRoom - width - edge, bottom],
  }
  const badness = ([x, y]: readonly [number, number]): number => {
    const box: Box = { left: x, top: y, right: x + width, bottom: y + height }
    if (x < 0 || y < 0 || box.right > sheet.width || letters.some((other) => meet(box, other))) return 100
    return bodies.filter((other) => meet(box, other)).length
  }
  const before = key.dataset.key ?? ''
  const ranked = Object.entries(places)
    .map(([name, place]) => ({ name, place, bad: badness(place) - (name === before ? 0.5 : 0) }))
    .sort((a, b) => a.bad - b.bad)
  const best = ranked[0]
  const free = best !== undefined && best.bad < 99
  key.setAttribute('visibility', free ? 'visible' : 'hidden')
  if (!free) return
  key.dataset.key = best.name
  key.setAttribute('transform', `translate(${best.place[0].toFixed(1)} ${best.place[1].toFixed(1)})`)
}
