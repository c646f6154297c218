import type { WayFound } from '@alveometer/core'
import { html, nothing, svg, type TemplateResult } from 'lit'

/** `barely`: its limits are kept, but not what margins are to have in hand for a finer measurement. */
export type Standing = 'exists' | 'barely' | 'none'

export function standingOf({
  exists,
  held,
  conflict,
}: Pick<WayFound, 'exists' | 'held' | 'conflict'>): Standing {
  if (exists) return 'exists'
  return held.length > 0 && [...held, ...conflict].every(({ reserve }) => reserve !== null && reserve >= 0)
    ? 'barely'
    : 'none'
}

/** A ring where a way exists, half filled where it barely does, crossed where there is none, with the word: told apart without any colour. */
export const standingMark = (standing: Standing): TemplateResult =>
  html`<span class="verdict ${standing === 'none' ? 'missing' : ''}"><svg class="mark" viewBox="0 0 14 14" aria-hidden="true"><circle cx="7" cy="7" r="5"></circle>${
    standing === 'none'
      ? svg`<path d="M3.5 3.5l7 7M10.5 3.5l-7 7"></path>`
      : standing === 'barely'
        ? svg`<path class="half" d="M7 2a5 5 0 0 0 0 10Z"></path>`
        : nothing
  }</svg>${standing}</span>`
