import { html, svg, type TemplateResult } from 'lit'
import { flagWords } from '../text/words.js'
import { flagPatterns, type MarkedFlag, ring } from './flag-marks.js'

/** What may lie over the colours of a map. */
export type MapMark = 'low' | 'none' | MarkedFlag

const words: Readonly<Record<MapMark, string>> = {
  low: 'below limit',
  none: 'no number',
  thin: flagWords.thin.mark,
  tooth: flagWords.tooth.mark,
  leak: flagWords.leak.mark,
}

/** The patterns that fill areas of the map and the squares of its legend; both are drawings of their own. */
export const patterns = svg`<defs>
    <pattern id="low" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
      <line class="lowline" x1="3" y1="0" x2="3" y2="6"></line>
    </pattern>
    <pattern id="none" width="9" height="9" patternUnits="userSpaceOnUse">
      <path class="noneline" d="M0,0L9,9M9,0L0,9"></path>
    </pattern>
    ${flagPatterns}
  </defs>`

const square = (mark: MapMark) =>
  mark === 'leak'
    ? svg`<g transform="translate(9 6)">${ring}</g>`
    : svg`<rect width="18" height="12" fill="url(#${mark})"></rect>`

/** What the marks on this map mean. */
export const mapLegend = (marks: readonly MapMark[]): TemplateResult =>
  html`${marks.map(
    (mark) =>
      html`<span class="key"><svg class="swatch ${mark}" viewBox="0 0 18 12">${square(mark)}</svg>${words[mark]}</span>`,
  )}`
