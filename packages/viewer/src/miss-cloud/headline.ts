import type { MissCloud } from '@alveometer/core'
import { html, type TemplateResult } from 'lit'
import { deg, mm, plain } from '../text/format.js'
import { meanAngleDeg, meanEntryMm } from './error-means.js'
import { halfWidthWords, shareWords } from './share-words.js'

/** The share of placements that is asked for, as in `tolerable`. */
const WANTED = 0.95

/** How often all limits hold, and how near the plan a placement must come to keep them in 19 of 20. */
export function headline(cloud: MissCloud): TemplateResult {
  const { allHold, draws } = cloud
  return html`<p class="big">${cloud.counted === 'all' ? 'All limits hold' : 'Bone and access hold'} in <strong>${shareWords(allHold.share)}</strong> of placements
      <span class="quiet" title="95 % interval by counting">(${halfWidthWords(allHold.halfWidth)}, ${draws.toLocaleString('en')} drawn)</span></p>
    <p class="keep">${keepWords(cloud)}</p>`
}

function keepWords({
  tolerable,
  allHoldStill,
  surfaceSdMm,
  complete,
  error,
}: MissCloud): TemplateResult | string {
  const wanted = shareWords(WANTED)
  if (tolerable === null) {
    if (!complete || allHoldStill >= WANTED)
      return `How near a placement must come to keep them in ${wanted} is being worked out.`
    const still =
      surfaceSdMm > 0
        ? `with no placement error at all they hold in ${shareWords(allHoldStill)}, as far as the bone's surface is known`
        : 'the plan itself misses a limit'
    return html`<strong>No placement, however exact, keeps them in ${wanted}:</strong> ${still}. The plan would have to change.`
  }
  const entry = mm(meanEntryMm(tolerable.entrySdMm), 1)
  const angle = deg(meanAngleDeg(tolerable.tiltSdDeg))
  const times =
    error.tiltSdDeg > 0 || meanEntryMm(error.entrySdMm) > 0
      ? html` <span class="quiet">(${plain(tolerable.scale, 2)} of the error chosen)</span>`
      : ''
  return tolerable.atLeast
    ? html`They are kept in ${wanted} even when the entry misses by <strong>${entry}</strong> and the angle by <strong>${angle}</strong> on average${times}.`
    : html`To keep them in ${wanted}: entry within <strong>${entry}</strong> and angle within <strong>${angle}</strong> on average${times}.`
}
