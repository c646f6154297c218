import type { HeldLimit, WayFound } from '@alveometer/core'
import { html, type TemplateResult } from 'lit'
import { limitWords, standingWords } from '../text/limit-words.js'
import { standingOf } from './way-mark.js'

/** What stops a way from being better, or keeps it from existing and by how much. */
export function heldBack(found: WayFound, tooth: string): TemplateResult {
  const limits = found.exists ? found.binding : found.conflict
  const exists = standingOf(found) !== 'none'
  if (limits.length === 0)
    return html`<td>${exists ? html`no limit <span class="second">the field searched ends</span>` : '–'}</td>`
  return html`<td><ul class="limits ${exists ? '' : 'missing'}">${limits.map((limit) => one(limit, exists, tooth))}</ul></td>`
}

function one(limit: HeldLimit, exists: boolean, tooth: string): TemplateResult {
  const name = limitWords(limit, tooth)
  if (exists) return html`<li>${name} </li>`
  const missed = limit.reserve === null || limit.reserve < 0
  return html`<li>${name} <span class="second ${missed ? 'below low' : ''}">${standingWords(limit, tooth)}</span> </li>`
}
