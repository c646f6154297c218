import { freehandError, guidedError, ownError, type PlacementError } from '@alveometer/core'
import { html, nothing, type TemplateResult } from 'lit'
import { plain } from '../text/format.js'
import { meanAngleDeg, meanEntryMm } from './error-means.js'

const names: Readonly<Record<PlacementError['kind'], string>> = {
  guided: 'guided',
  freehand: 'freehand',
  own: 'own figures',
}
const kinds: readonly PlacementError['kind'][] = ['guided', 'freehand', 'own']

/** Largest means that can be typed, so that the errors drawn stay placements of the plan. Own choice. */
const GREATEST_ENTRY_MM = 10
const GREATEST_ANGLE_DEG = 30

/** Which error is taken, and for one's own figures two fields. `choose` is told of another. */
export function errorChoice(error: PlacementError, choose: (error: PlacementError) => void): TemplateResult {
  return html`<div class="choice" role="group" aria-label="Placement error">${kinds.map(
    (kind) =>
      html`<button aria-pressed=${kind === error.kind} @click=${() => choose(startOf(kind, error))}>${names[kind]}</button>`,
  )}</div>
  ${error.kind === 'own' ? ownFields(error, choose) : nothing}
  <p class="quiet source">On average ${plain(meanEntryMm(error.entrySdMm), 1)}\u202fmm at the entry, ${plain(meanAngleDeg(error.tiltSdDeg), 1)}°: ${error.source}</p>`
}

/** One's own figures start from those shown. */
function startOf(kind: PlacementError['kind'], error: PlacementError): PlacementError {
  switch (kind) {
    case 'guided':
      return guidedError()
    case 'freehand':
      return freehandError()
    case 'own':
      return own(meanEntryMm(error.entrySdMm), meanAngleDeg(error.tiltSdDeg))
  }
}

const hundredths = (value: number): number => Math.round(100 * value) / 100

const own = (entryMeanMm: number, angleMeanDeg: number): PlacementError =>
  ownError({ entryMeanMm: hundredths(entryMeanMm), angleMeanDeg: hundredths(angleMeanDeg) })

function ownFields(error: PlacementError, choose: (error: PlacementError) => void): TemplateResult {
  const entry = meanEntryMm(error.entrySdMm)
  const angle = meanAngleDeg(error.tiltSdDeg)
  const field = (
    name: string,
    unit: string,
    value: number,
    greatest: number,
    change: (value: number) => PlacementError,
  ): TemplateResult => html`<label>${name}
    <span class="box"><input type="number" min="0" max=${greatest} step="0.1" autocomplete="off" .value=${value.toFixed(2)}
      @change=${(e: Event) => typed(e.target as HTMLInputElement, value, greatest, (v) => choose(change(v)))} />${unit}</span></label>`
  return html`<div class="fields">
    ${field('mean at the entry', 'mm', entry, GREATEST_ENTRY_MM, (v) => own(v, angle))}
    ${field('mean angle', '°', angle, GREATEST_ANGLE_DEG, (v) => own(entry, v))}</div>`
}

/** What is no number or out of bounds is brought back within them. */
function typed(
  input: HTMLInputElement,
  before: number,
  greatest: number,
  change: (value: number) => void,
): void {
  const value = input.valueAsNumber
  if (!Number.isFinite(value)) {
    input.value = before.toFixed(2)
    return
  }
  const kept = Math.min(greatest, Math.max(0, value))
  input.value = kept.toFixed(2)
  change(kept)
}
