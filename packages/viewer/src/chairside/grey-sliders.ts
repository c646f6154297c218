import { html, type TemplateResult } from 'lit'
import type { GreyWindow } from '../drawing/grey.js'
import type { ScanFacts } from '../engine/protocol.js'

/** Least distance of black and white, grey values. */
const closest = 50

/** What is shown black and what white; the ends push each other along rather than cross. */
export function greySliders(
  window: GreyWindow,
  facts: ScanFacts | null,
  changed: (window: GreyWindow) => void,
): TemplateResult {
  const low = (facts?.greyLow ?? -1000) - 500
  const high = (facts?.greyHigh ?? 3000) + 1500
  const slide = (end: 'low' | 'high', value: number): void => {
    if (end === 'low') changed({ low: value, high: Math.max(window.high, value + closest) })
    else changed({ low: Math.min(window.low, value - closest), high: value })
  }
  const slider = (name: string, end: 'low' | 'high'): TemplateResult =>
    html`<label>${name} <input type="range" min=${low} max=${high} step="10" .valueAsNumber=${window[end]}
      @input=${(e: Event) => slide(end, (e.target as HTMLInputElement).valueAsNumber)} /></label>`
  return html`${slider('black', 'low')}${slider('white', 'high')}`
}
