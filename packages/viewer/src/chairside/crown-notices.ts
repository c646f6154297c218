import { html, nothing, type TemplateResult } from 'lit'
import type { AlvEvents } from '../events.js'
import type { Workbench } from './workbench.js'

/** What there is to ask and to say about the crown's mesh file. */
export function crownNotices({ crowns, missing, session }: Workbench): TemplateResult {
  const { question, doubt } = crowns
  const { crown, site } = session.plan
  const doubtful = doubt !== null && crown.kind === 'mesh' && crown.frame === doubt.ways[doubt.shown]?.frame
  return html`${
    missing === null
      ? nothing
      : html`<p class="notice warn" role="alert">This plan's crown is in the file <strong>${missing}</strong>, which is not here:
          drop it on the page. Nothing is measured meanwhile.</p>`
  }
    ${
      question === null
        ? nothing
        : html`<div class="notice">${
            missing === question.of.file
              ? html`<p><strong>This is another file than the plan's crown of the same name.</strong></p>`
              : nothing
          }<alv-crown-import .imported=${question.imported} tooth=${site.tooth} .likelier=${crowns.likelier} ?busy=${question.busy}
              problem=${question.problem} @alv-leave=${() => crowns.leave()}
              @alv-crown-choice=${(e: AlvEvents['alv-crown-choice']) => crowns.choose(e.detail)}></alv-crown-import></div>`
    }
    ${
      doubtful
        ? html`<div class="notice row warn" role="alert"><p>How this crown lies in its file could not be told for sure (way ${doubt.shown + 1}
            of ${doubt.ways.length}). Compare it with the crown view and the section.</p>
            ${doubt.ways.length > 1 ? html`<button @click=${() => crowns.tryWay(doubt.shown + 1)}>Another way</button>` : nothing}
            <button @click=${() => crowns.tryWay(null)}>It lies right</button></div>`
        : nothing
    }`
}
