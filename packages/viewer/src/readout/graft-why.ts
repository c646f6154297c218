import type { GraftAssessment, Sourced } from '@alveometer/core'
import { html, nothing, type TemplateResult } from 'lit'

/** What the defect would be called, and what speaks for grafting with the fixture or before it; nothing is advised. */
export function graftWhy({ classes, timing }: GraftAssessment): TemplateResult | typeof nothing {
  const { simultaneous, staged } = timing
  if (classes.length + simultaneous.length + staged.length === 0) return nothing
  return html`<details class="why">
      <summary>Defect classes; with the fixture or before it</summary>
      ${told('What is missing', classes)}${told('With the fixture', simultaneous)}${told('Before it', staged)}
    </details>`
}

const told = (name: string, statements: readonly Sourced[]): TemplateResult | typeof nothing =>
  statements.length === 0
    ? nothing
    : html`<h3>${name}</h3><ul>${statements.map((s) => html`<li>${s.text} <span class="quiet">${s.source}</span></li>`)}</ul>`
