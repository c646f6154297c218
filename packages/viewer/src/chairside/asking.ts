import { html, type TemplateResult } from 'lit'
import type { AlvEvents } from '../events.js'
import type { Explain } from '../load-report/alv-load-report.js'
import type { Question } from './question.js'
import type { Workbench } from './workbench.js'

/** What has to be asked before a scan can be opened, in place of the drawings. */
export function asking(bench: Workbench, question: Question, explain: Explain | null): TemplateResult {
  const { intake } = bench
  const busy = bench.progress !== null
  return html`<main class="asking" ?inert=${busy} @alv-leave=${() => intake.leave()}
    @alv-choose-series=${(e: AlvEvents['alv-choose-series']) => intake.choose(e.detail.id)}
    @alv-confirm-geometry=${(e: AlvEvents['alv-confirm-geometry']) => intake.confirm(e.detail.answers)}
    @alv-reduce=${(e: AlvEvents['alv-reduce']) => intake.reduce(e.detail)}>${panelOf(bench, question, explain)}</main>`
}

function panelOf(bench: Workbench, question: Question, explain: Explain | null): TemplateResult {
  switch (question.kind) {
    case 'series':
      return html`<alv-series-chooser .series=${question.contents.series} .report=${question.contents.report}
        .budgetBytes=${bench.intake.budgetBytes} .explain=${explain}></alv-series-chooser>`
    case 'geometry':
      return html`<alv-geometry-check .preview=${question.preview} .picture=${bench.previewPicture} .problem=${question.problem}
        name=${question.series.description}></alv-geometry-check>`
    case 'size':
      return html`<alv-size-offer .series=${question.series} .offer=${question.offer}></alv-size-offer>`
  }
}
