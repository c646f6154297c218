import { html, type TemplateResult } from 'lit'
import type { DroppedFile } from '../load-report/dropped.js'
import { productName, teeth } from '../text/words.js'
import { downloadPlan } from './plan-file.js'
import type { Workbench } from './workbench.js'

export interface HeaderHost {
  readonly night: boolean
  /** The decision stands beside the section instead of the measurements. */
  readonly deciding: boolean
  open(files: readonly DroppedFile[]): void
  turnSheet(): void
  decide(deciding: boolean): void
}

/** The buttons above everything: scans, plans, undo, the sheet. */
export function header(bench: Workbench, host: HeaderHost): TemplateResult {
  const { session } = bench
  const { tooth } = session.plan.site
  const asked = bench.question !== null
  const picked = (event: Event): void => {
    const input = event.target as HTMLInputElement
    const files = [...(input.files ?? [])].map((file) => ({
      file,
      path: file.webkitRelativePath || file.name,
    }))
    input.value = ''
    host.open(files)
  }
  return html`<header>
      <h1>${productName}</h1>
      <span class="tabs modes"><button aria-pressed=${!host.deciding} @click=${() => host.decide(false)}>Measure</button><button
        aria-pressed=${host.deciding} ?disabled=${asked || bench.facts === null} @click=${() => host.decide(true)}>Decide</button></span>
      <button @click=${choose('files')}>Open scan</button>
      <button class="roomy" @click=${choose('folder')}>Open folder</button>
      <span class="gap"></span>
      <label>tooth <select .value=${tooth} ?disabled=${asked} @change=${(e: Event) => bench.startPlan((e.target as HTMLSelectElement).value)} aria-label="Tooth, ISO 3950">
        ${teeth.map((t) => html`<option value=${t} ?selected=${t === tooth}>${t}</option>`)}</select></label>
      <button @click=${choose('plan')}>Open plan</button>
      <button ?disabled=${asked} @click=${() => downloadPlan(bench.savedPlan)}>Save plan</button>
      <button ?disabled=${asked || !session.canUndo} @click=${() => session.undo()}>Undo</button>
      <button ?disabled=${asked || !session.canRedo} @click=${() => session.redo()}>Redo</button>
      <span class="gap"></span>
      <button class="roomy" @click=${() => host.turnSheet()}>${host.night ? 'Paper sheet' : 'Night sheet'}</button>
      <input class="files" type="file" multiple hidden @change=${picked} />
      <input class="folder" type="file" webkitdirectory hidden @change=${picked} />
      <input class="plan" type="file" accept=".json,application/json" hidden @change=${picked} />
    </header>`
}

/** Opens the browser's chooser of the hidden input of that class. */
const choose =
  (name: 'files' | 'folder' | 'plan') =>
  (event: Event): void => {
    const header = (event.currentTarget as HTMLElement).closest('header')
    header?.querySelector<HTMLInputElement>(`input.${name}`)?.click()
  }
