import type { MissCloud, MissedLimit } from '@alveometer/core'
import { html, nothing, type TemplateResult } from 'lit'
import { plain } from '../text/format.js'
import { boundWords, limitWords, rangeWords, valueWords } from '../text/limit-words.js'
import { histogram } from './histogram.js'
import { halfWidthWords, shareWords } from './share-words.js'

/** The limits of a cloud, least likely to hold first: how often each holds, as planned, and how it spreads. */
export function limitRows({ limits, tooth, surfaceSdMm }: MissCloud): TemplateResult {
  const first = firstToFail(limits)
  return html`<table>
    <caption>How often each limit holds, least likely first</caption>
    <thead><tr><th scope="col">limit</th><th scope="col">holds</th><th scope="col" class="wide">planned</th>
      <th scope="col" class="wide">9 of 10 within</th><th scope="col">spread</th></tr></thead>
    <tbody>${limits.map((missed) => row(missed, missed === first, tooth, surfaceSdMm))}</tbody></table>`
}

function row(missed: MissedLimit, first: boolean, tooth: string, surfaceSdMm: number): TemplateResult {
  const { limit, side, planned, percentiles, holds, holdsHalfWidth, firstShare, unmeasured } = missed
  const name = limitWords(missed, tooth)
  const number = (value: number): string => valueWords(missed, value, tooth)
  const low = planned !== null && (side === 'least' ? planned < limit : planned > limit)
  const plan = planned === null ? 'no number' : `${number(planned)}${measuredWords(missed, surfaceSdMm)}`
  const spread = percentiles === null ? '–' : rangeWords(missed, percentiles.p5, percentiles.p95, tooth)
  return html`<tr class=${first ? 'first' : ''}>
    <th scope="row">${name}${missed.counted ? nothing : html` <span class="second">told, does not count</span>`}
      <span class="second">${boundWords(missed, tooth)}</span>
      <span class="second narrow">planned <span class=${low ? 'below low' : ''}>${plan}</span><br />9 of 10: ${spread}</span>
      ${first ? html`<span class="second fails">▾ first to be missed in ${shareWords(firstShare)} of the misses</span>` : nothing}
      ${unmeasured > 0 ? html`<span class="second">no number in ${unmeasured.toLocaleString('en')} placements: counted as missed</span>` : nothing}
    </th>
    <td class="holds"><span class="share">${shareWords(holds)}</span> <span class="second">${halfWidthWords(holdsHalfWidth)}</span></td>
    <td class="wide"><span class=${low ? 'below low' : ''}>${plan}</span></td>
    <td class="wide">${spread}</td>
    <td class="drawn">${histogram(missed, tooth)}</td></tr>`
}

/** The 95 % interval of what was measured on the scan; what is measured on the crown is exact. */
function measuredWords({ code, where }: MissedLimit, surfaceSdMm: number): string {
  const isBone = (code === 'marginMm' || code === 'facialMarginMm') && where !== 'clearance'
  return isBone && surfaceSdMm > 0 ? ` ±${plain(1.96 * surfaceSdMm, 2)}` : ''
}

/** The limit that is most often missed first, where any is. */
function firstToFail(limits: readonly MissedLimit[]): MissedLimit | undefined {
  const most = limits.reduce<MissedLimit | undefined>(
    (best, each) => (best === undefined || each.firstShare > best.firstShare ? each : best),
    undefined,
  )
  return most !== undefined && most.firstShare > 0 ? most : undefined
}
