import { nothing, type SVGTemplateResult, svg } from 'lit'
import type { GraftLayersShown } from './graft-hatch.js'
import type { Pixel } from './view.js'

const swatchWidth = 24
const lineHeight = 19
/** Between the key and the drawing's edge, and around lettering, pixels. */
const edge = 12
const clear = 5
/** Height of the words along the lower edge, and between the places that are tried, pixels. */
const bottomRow = 20
const step = 6

/** What the hatchings mean, drawn about the origin; `placeGraftKey` puts it into a corner that is free. */
export function graftKey(shown: GraftLayersShown, narrow: boolean): SVGTemplateResult | typeof nothing {
  const rows: (readonly [fill: string, words: string])[] = []
  if (shown.kept)
    rows.push(['graft-kept', !shown.lost ? 'graft' : narrow ? 'graft kept' : 'graft expected to remain'])
  if (shown.lost) rows.push(['graft-lost', narrow ? 'graft lost' : 'graft expected to resorb'])
  if (rows.length === 0) return nothing
  return svg`<g class="key" data-key>${rows.map(
    ([fill, words], n) => svg`<g transform="translate(0 ${n * lineHeight})">
      <rect class="under" x="0.5" y="0.5" width=${swatchWidth} height="13"></rect>
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
 * Puts the key beside the left or right edge, as near to a corner as it covers no lettering, no button, no handle and
 * neither fixture nor crown; hides it where there is no such place. It stays where it is as long as that is free.
 * @param root what holds the drawing
 * @param leftTop where the left edge is free from, pixels from above: below a scale bar
 */
export function placeGraftKey(root: ParentNode, leftTop = edge): void {
  const key = root.querySelector<SVGGElement>('[data-key]')
  const sheet = key?.ownerSVGElement?.getBoundingClientRect()
  if (key === null || sheet === undefined) return
  const taken = [...root.querySelectorAll('text.note, .grip .mark, .zoom, path.out:not(.cas)')].map((e) => {
    const { left, top, right, bottom } = e.getBoundingClientRect()
    return {
      left: left - sheet.left - clear,
      top: top - sheet.top - clear,
      right: right - sheet.left + clear,
      bottom: bottom - sheet.top + clear,
    }
  })
  const { width, height } = key.getBBox()
  const isFree = ([x, y]: Pixel): boolean => {
    const box = { left: x, top: y, right: x + width, bottom: y + height }
    return x >= 0 && box.right <= sheet.width && !taken.some((other) => meet(box, other))
  }
  const last = sheet.height - height - edge - bottomRow
  const columns = [
    { x: edge, from: leftTop },
    { x: sheet.width - edge - width, from: edge },
  ]
  const places = columns
    .flatMap(({ x, from }) =>
      Array.from({ length: Math.max(0, Math.floor((last - from) / step) + 1) }, (_, n) => {
        const y = from + n * step
        return { at: [x, y] as const, far: Math.min(y - from, last - y) }
      }),
    )
    .sort((a, b) => a.far - b.far)
  const size = `${sheet.width} ${sheet.height} ${width}`
  const [x = Number.NaN, y = Number.NaN] =
    key.dataset.size === size ? (key.dataset.key ?? '').split(' ').map(Number) : []
  const stays = Number.isFinite(x) && isFree([x, y])
  const place = stays ? ([x, y] as const) : places.find(({ at }) => isFree(at))?.at
  key.setAttribute('visibility', place === undefined ? 'hidden' : 'visible')
  if (place === undefined || stays) return
  key.dataset.size = size
  key.dataset.key = place.join(' ')
  key.setAttribute('transform', `translate(${place[0].toFixed(1)} ${place[1].toFixed(1)})`)
}
