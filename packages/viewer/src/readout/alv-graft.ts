import {
  type Assessment,
  defaultDeficitGraft,
  type GraftAssessment,
  type GraftSize,
  oralSide,
  type Plan,
} from '@alveometer/core'
import { html, LitElement, nothing, type TemplateResult } from 'lit'
import { property } from 'lit/decorators.js'
import { tell } from '../events.js'
import { withGraft } from '../session/index.js'
import { panel, tokens } from '../sheet/index.js'
import { cc, mm, mm2, mm3, percent } from '../text/format.js'
import { factsStyle } from './facts-style.js'
import { graftChange } from './graft-change.js'
import { graftStyle } from './graft-style.js'
import { graftWhy } from './graft-why.js'

/**
 * The graft in numbers: what is missing for the wanted margins, or what the planned one comes to, and the margins
 * before it, with it and after the expected loss.
 *
 * @fires alv-plan PlanMove: the graft that is missing was put into the plan.
 */
export class AlvGraft extends LitElement {
  static override styles = [tokens, panel, factsStyle, graftStyle]

  @property({ attribute: false }) plan: Plan | null = null
  @property({ attribute: false }) assessment: Assessment | null = null

  override render(): TemplateResult {
    const { plan, assessment } = this
    return html`<h2>Graft</h2>${plan === null || assessment === null ? html`<p class="quiet">not measured yet</p>` : this.#body(plan, assessment)}`
  }

  #body(plan: Plan, { graft, graftNeeded, margin }: Assessment): TemplateResult {
    if (graft !== null)
      return html`${this.#planned(graft, plan)}${graftChange(margin, graft.after, graft.afterLoss)}
        ${notes(graft)}${graftWhy(graft)}`
    if (plan.graft !== undefined) return html`<p>${needless[plan.graft.kind]}</p>`
    return graftNeeded === null
      ? html`<p>None is planned; the wanted margins are met all round.</p>`
      : this.#needed(plan, graftNeeded)
  }

  #needed(plan: Plan, size: GraftSize): TemplateResult {
    const graft = defaultDeficitGraft(plan.site.tooth, plan.limits)
    return html`<div class="wanted"><p>None is planned. For the wanted margins <b>${mm3(size.volumeMm3)}</b> (${cc(size.volumeMm3)}) of bone are missing, ${mm(size.greatestMm, 1)} thick at most.</p>
      <button @click=${() => tell(this, 'alv-plan', { phase: 'step', plan: withGraft(plan, graft) })}>plan it</button></div>`
  }

  #planned({ built, kept, walls }: GraftAssessment, { site }: Plan): TemplateResult {
    const standing = walls.sides.filter(({ stands }) => stands)
    const names = standing.map(({ side }) => (side === 'oral' ? oralSide(site.tooth) : side))
    return html`<p class="amount"><span class="big">${mm3(built.volumeMm3)} = ${cc(built.volumeMm3)}</span>
        <span class="quiet">net, as built</span></p>
      <dl>
        <div><dt>after loss</dt><dd>${mm3(kept.volumeMm3)} = ${cc(kept.volumeMm3)}${built.volumeMm3 > 0 ? html` <span class="quiet">${percent(1 - kept.volumeMm3 / built.volumeMm3)} lost</span>` : nothing}</dd></div>
        <div><dt>thickness</dt><dd>${mm(built.greatestMm)} at most <span class="quiet">mean ${mm(built.meanMm)}</span></dd></div>
        <div><dt>extent</dt><dd>${mm(built.heightMm, 1)} high, over ${mm2(built.footprintMm2)}</dd></div>
        <div><dt title="Sides of the defect on which bone stands as high as the graft begins">walls</dt><dd>${walls.count} of ${walls.sides.length}${names.length === 0 ? nothing : `: ${names.join(', ')}`}</dd></div>
      </dl>`
  }
}

const needless = {
  deficit: 'Nothing has to be grafted: the wanted margin is met all round.',
  free: 'The layer lies nowhere outside bone within reach of the fixture.',
} as const

/** What was not grafted as wanted, or could not be seen. */
function notes({ cappedMm, openRays }: GraftAssessment): TemplateResult | typeof nothing {
  const told = [
    ...(cappedMm >= 0.05
      ? [
          `The natural contour stays up to ${mm(cappedMm, 1)} below the wanted margin, within the convexity of the bone beside it.`,
        ]
      : []),
    ...(openRays > 0 ? [`On ${openRays} rays data is missing: nothing is grafted there.`] : []),
  ]
  return told.length === 0 ? nothing : html`<p class="notes">${told.join(' ')}</p>`
}
