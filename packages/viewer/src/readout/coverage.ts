import type { ExposedRegion, MarginResult } from '@alveometer/core'
import { html, nothing, type TemplateResult } from 'lit'
import { mm, mm2, mmTolerance, percent, plain } from '../text/format.js'

/** So many of the uncovered parts are told one by one, the largest first. */
const toldSingly = 3

/** How much of the fixture is in bone, and every part of it that is bare, with the way to it. */
export function coverage(margin: MarginResult, show: (depthMm: number) => void): TemplateResult {
  const { inBone, dehiscences, fenestrations, exposureOpen } = margin
  const bare = dehiscences.length + fenestrations.length > 0
  return html`<dl>
    <div><dt>in bone</dt><dd>${percent(inBone.share, 1)}, ${mm2(inBone.areaMm2)}</dd></div>
    <div><dt>past apex</dt><dd>${beyond(margin)}</dd></div>
    ${parts('dehiscence', dehiscences, (r) => `${plain(r.heightMm, 1)} high × ${mm(r.widthMm, 1)} wide, ${mm2(r.areaMm2)}, ${r.sector}`, show)}
    ${parts('fenestration', fenestrations, (r) => `${mm2(r.areaMm2)}, ${r.sector}, ${plain(r.fromMm, 1)} to ${mm(r.toMm, 1)} deep`, show)}
    ${bare ? nothing : html`<div><dt>bare</dt><dd>nothing${exposureOpen ? ' where measured' : ''}</dd></div>`}
  </dl>`
}

function parts(
  name: string,
  regions: readonly ExposedRegion[],
  words: (region: ExposedRegion) => string,
  show: (depthMm: number) => void,
): TemplateResult | typeof nothing {
  if (regions.length === 0) return nothing
  const rest = regions.slice(toldSingly)
  const restMm2 = rest.reduce((sum, { areaMm2 }) => sum + areaMm2, 0)
  return html`<div><dt>${name}</dt><dd>
      ${regions.slice(0, toldSingly).map(
        (region) =>
          html`<p class="part"><span>${words(region)}${orMore([region])}</span>
            <button class="there" aria-label="show this ${name}" @click=${() => show((region.fromMm + region.toMm) / 2)}>show</button></p>`,
      )}
      ${rest.length === 0 ? nothing : html`<p>and ${rest.length} smaller, ${mm2(restMm2)}${orMore(rest)}</p>`}
    </dd></div>`
}

/** Data is missing beside what is bare: it may go on there. */
const orMore = (regions: readonly ExposedRegion[]): string =>
  regions.some(({ open }) => open) ? ', or more' : ''

function beyond({ mode, aboveApexMm, minimum, interval }: MarginResult): string {
  if (aboveApexMm !== null)
    return `${mmTolerance(aboveApexMm, minimum?.uncertaintyMm ?? interval.floorMm)} of bone`
  return mode === 'fast' ? 'known when the hand rests' : 'not known'
}
