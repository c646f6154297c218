import { html, type TemplateResult } from 'lit'
import { type MapTime, type MapView, mapTimes, mapViews } from './map-views.js'

/** What the map shows; with a graft only the margin is known. */
export function viewButtons(
  now: MapView,
  time: MapTime,
  short: boolean,
  show: (view: MapView) => void,
): TemplateResult {
  return html`<div class="views" role="group" aria-label="What the map shows">${Object.entries(mapViews).map(
    ([key, { name }]) =>
      html`<button aria-pressed=${key === now} aria-label=${name} ?disabled=${key !== 'margin' && time !== 'before'}
        @click=${() => show(key as MapView)}>${short ? name.split(' ')[0] : name}</button>`,
  )}</div>`
}

/** Which bone it is of: as it is now, with the graft, or with what is expected to remain. */
export const timeButtons = (now: MapTime, show: (time: MapTime) => void): TemplateResult =>
  html`<div class="views times" role="group" aria-label="Which bone the map is of">${Object.entries(
    mapTimes,
  ).map(
    ([key, name]) =>
      html`<button aria-pressed=${key === now} @click=${() => show(key as MapTime)}>${name}</button>`,
  )}</div>`
