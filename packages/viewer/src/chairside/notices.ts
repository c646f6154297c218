import { html, nothing, type TemplateResult } from 'lit'
import type { Explain } from '../load-report/alv-load-report.js'
import { crownNotices } from './crown-notices.js'
import type { Workbench } from './workbench.js'

/** What there is to say between the buttons and the drawings. */
export function notices(bench: Workbench, explain: Explain | null): TemplateResult {
  const { intake, session, facts } = bench
  const scan = facts !== null && bench.question === null
  return html`${
    bench.progress === null && bench.fault === null
      ? nothing
      : html`<div class="notice"><alv-load-report .progress=${bench.progress} .fault=${bench.fault} .explain=${explain}
          ?kept=${facts !== null} @alv-cancel-load=${() => intake.cancel()} @alv-dismiss=${() => intake.dismiss()}></alv-load-report></div>`
  }
    ${
      scan && bench.applied
        ? html`<div class="notice row"><p>What the file of this scan does not say of its lengths and sides was confirmed
            earlier and stands in its plan: it was applied again.</p>
            <button @click=${() => intake.confirmAnew()}>Confirm anew</button>
            <button @click=${() => bench.readApplied()}>Close</button></div>`
        : nothing
    }
    ${
      scan && bench.uncalibrated
        ? html`<div class="notice row warn" role="alert"><p>This scan is not calibrated, so nothing is measured on it.</p>
            <button @click=${() => bench.calibrate()}>Calibrate</button></div>`
        : nothing
    }
    ${scan ? crownNotices(bench) : nothing}
    ${
      scan && bench.placeholder
        ? html`<p class="notice">There is no plan for this scan yet: fixture and crown stand in its middle. Choose the tooth,
            then drag them to the site.</p>`
        : nothing
    }
    ${
      scan && bench.mismatch
        ? html`<p class="notice warn" role="alert">This plan was made on another scan (series ${session.plan.scan.seriesUid}).
            Its place in this one means nothing unless both share their coordinates.</p>`
        : nothing
    }
    ${
      scan && bench.measurement.trouble !== ''
        ? html`<p class="notice warn" role="alert">This plan could not be measured: ${bench.measurement.trouble}</p>`
        : nothing
    }
    ${
      scan && bench.measurement.unrefined !== ''
        ? html`<p class="notice warn" role="alert">The numbers stay the fast ones, the refined measurement broke off:
            ${bench.measurement.unrefined}</p>`
        : nothing
    }`
}
