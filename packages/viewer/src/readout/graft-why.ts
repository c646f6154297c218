import type { DefectClass, GraftAssessment, Sourced } from '@alveometer/core'
import { html, nothing, type TemplateResult } from 'lit'

/** What the defect would be called, and what speaks for grafting with the fixture or before it; nothing is advised. */
export function graftWhy({ classes, timing }: GraftAssessment): TemplateResult | typeof nothing {
  const { simultaneous, staged } = timing
  if (classes.length + simultaneous.length + staged.length === 0) return nothing
  return html`<details class="why">
      <summary>Defect classes; with the fixture or before it</summary>
      ${classes.length === 0 ? nothing : html`<h3>Would be described as</h3><dl class="told">${classes.map(named)}</dl>`}
      ${told('With the fixture', simultaneous)}${told('Before it', staged)}
    </details>`
}

const named = ({ scheme, class: name, text, source }: DefectClass): TemplateResult =>
  html`<div><dt>${scheme}</dt><dd><b>${name}</b> ${text} ${source === scheme ? nothing : html`<span class="quiet">${source}</span>`}</dd></div>`

const told = (name: string, statements: readonly Sourced[]): TemplateResult | typeof nothing =>
  statements.length === 0
    ? nothing
    : html`<h3>${name}</h3><ul>${statements.map((s) => html`<li>${s.text} <span class="quiet">${s.source}</span></li>`)}</ul>`
