import { defaultDeficitGraft, importMesh } from '@alveometer/core'
import axe from 'axe-core'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { type AlvChairside, defineElements } from '../src/index.js'
import { withGraft } from '../src/session/index.js'
import { madeUpAssessment } from './assessment.js'
import { graftedAssessment, madeUpGraftSize } from './grafted-assessment.js'
import {
  madeUpOffer,
  madeUpPicture,
  madeUpPreview,
  madeUpSeries,
  refused,
  scout,
  unplaced,
} from './intake.js'
import { uprightPlan } from './plan.js'
import { refinedMargin } from './refined-margin.js'

defineElements()
afterEach(() => document.body.replaceChildren())
beforeEach(() => {
  document.documentElement.lang = 'en'
  document.title = 'Alveometer'
})

/** What axe finds to be in people's way: rule, and where. */
async function barriers(within: Element): Promise<string[]> {
  for (let n = 0; n < 4; n++) await new Promise((done) => requestAnimationFrame(done))
  const { violations } = await axe.run(within)
  return violations
    .filter((v) => v.impact === 'serious' || v.impact === 'critical')
    .flatMap((v) =>
      v.nodes.map((node) => `${v.id}: ${node.target.flat().join(' ')} ${node.html.slice(0, 90)}`),
    )
}

const frame = (tag: string, set: object): HTMLElement => {
  const element = Object.assign(document.createElement(tag), set)
  const box = document.createElement('div')
  const sheet = new CSSStyleSheet()
  sheet.replaceSync(
    '.frame { width: 640px; height: 960px } .frame > * { width: 100%; height: 100% } .paper { color-scheme: light; background: #f7f6f2 } .night { color-scheme: dark; background: #17181a }',
  )
  document.adoptedStyleSheets = [sheet]
  box.append(element)
  document.body.append(box)
  return box
}

test('a nameless button inside an element is found', async () => {
  const box = frame('alv-exit', { exit: madeUpAssessment.exit })
  box.firstElementChild?.shadowRoot?.append(document.createElement('button'))
  expect((await barriers(box)).join()).toContain('button-name')
})

/** A crown in a file that says nothing of its unit, a thousandth of a crown's size. */
const unitless = importMesh(
  new TextEncoder().encode('v 0 0 0\nv .009 0 0\nv 0 .007 0\nv 0 0 .01\nf 1 3 2\nf 1 2 4\nf 2 3 4\nf 3 1 4'),
  'crown.obj',
)
const graftedPlan = withGraft(uprightPlan, defaultDeficitGraft('11'))
const { exit, channel, angled, emergence, retention, margin, density, findings } = madeUpAssessment
const elements: readonly [string, object][] = [
  ['alv-section', { plan: uprightPlan, assessment: madeUpAssessment, collarDepthMm: 2.5 }],
  ['alv-collar', { plan: uprightPlan, assessment: madeUpAssessment, collarDepthMm: 2.5 }],
  ['alv-margin-map', { margin, collarDepthMm: 2.5 }],
  ['alv-margin-map', { margin: refinedMargin, view: 'plate' }],
  ['alv-exit', { exit, channel, angled, leastWallMm: 0.8 }],
  ['alv-retention', { retention }],
  ['alv-emergence', { emergence, plan: uprightPlan }],
  ['alv-crown-import', { imported: unitless, tooth: '11', problem: 'Made to fail.' }],
  ['alv-crown-form', { plan: uprightPlan }],
  ['alv-crown-form', { plan: uprightPlan, shown: 'form' }],
  ['alv-crown-form', { plan: uprightPlan, shown: 'channel' }],
  ['alv-crown-form', { plan: uprightPlan, shown: 'gap' }],
  ['alv-graft', { plan: uprightPlan, assessment: { ...madeUpAssessment, graftNeeded: madeUpGraftSize } }],
  ['alv-graft', { plan: graftedPlan, assessment: graftedAssessment }],
  ['alv-graft-form', { plan: uprightPlan }],
  ['alv-graft-form', { plan: graftedPlan }],
  ['alv-margin', { margin }],
  ['alv-margin', { margin: refinedMargin, tooth: '11' }],
  ['alv-density', { density }],
  ['alv-findings', { findings }],
  ['alv-placement', { plan: uprightPlan }],
  ['alv-title-block', {}],
  ['alv-load-report', { progress: { stage: 'pixels', done: 3, total: 9 } }],
  ['alv-load-report', { full: true, report: refused.report }],
  [
    'alv-series-chooser',
    { series: [madeUpSeries(), scout, refused, unplaced, madeUpSeries({ id: '2', person: undefined })] },
  ],
  ['alv-size-offer', { series: madeUpSeries(), offer: madeUpOffer }],
  ['alv-geometry-check', { preview: madeUpPreview, picture: madeUpPicture, problem: 'Choose again.' }],
]

for (const sheet of ['paper', 'night'])
  for (const [tag, set] of elements)
    test(`${tag} (${Object.keys(set).join(', ')}) on the ${sheet} sheet puts nothing in the way of anyone`, async () => {
      const box = frame(tag, set)
      box.className = `frame ${sheet}`
      expect(await barriers(box)).toEqual([])
    })

for (const sheet of ['paper', 'night'] as const)
  test(`the whole page on the ${sheet} sheet puts nothing in the way of anyone`, async () => {
    const page = document.createElement('alv-chairside') as AlvChairside
    page.sheet = sheet
    document.body.append(page)
    await page.updateComplete
    page.workbench.measurement.assessment = madeUpAssessment
    page.workbench.setPlan(uprightPlan)
    expect(await barriers(document.documentElement)).toEqual([])
  })
