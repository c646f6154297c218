import { html, nothing, svg, type TemplateResult } from 'lit'

/** A ring where a way exists, a crossed ring where there is none, with the word: told apart without any colour. */
export const existsMark = (exists: boolean): TemplateResult =>
  html`<span class="verdict ${exists ? '' : 'missing'}"><svg class="mark" viewBox="0 0 14 14" aria-hidden="true"><circle cx="7" cy="7" r="5"></circle>${
    exists ? nothing : svg`<path d="M3.5 3.5l7 7M10.5 3.5l-7 7"></path>`
  }</svg>${exists ? 'exists' : 'none'}</span>`
