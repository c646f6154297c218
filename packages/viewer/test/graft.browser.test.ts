import { defaultDeficitGraft, type Plan } from '@alveometer/core'
import { afterEach, expect, test } from 'vitest'
import { type AlvEvents, defineElements, PlanSession } from '../src/index.js'
import { defaultFreeGraft, withGraft } from '../src/session/index.js'
import { madeUpAssessment } from './assessment.js'
import { graftedAssessment, madeUpGraft, madeUpGraftSize } from './grafted-assessment.js'
import { mountedAt, settled, type Tag } from './mounted.js'
import { uprightPlan } from './plan.js'

defineElements()
afterEach(() => document.body.replaceChildren())

const mounted = <T extends Tag>(tag: T, set: Partial<HTMLElementTagNameMap[T]>) =>
  mountedAt([340, 600], tag, set)
const text = (element: Element): string => element.shadowRoot?.textContent?.replace(/\s+/g, ' ') ?? ''
const button = (element: Element, name: string): HTMLButtonElement => {
  const all = [...(element.shadowRoot?.querySelectorAll('button') ?? [])]
  const found = all.find((b) => b.textContent?.trim() === name)
  if (!found) throw new Error(`no button ${name}: ${all.map((b) => b.textContent).join(', ')}`)
  return found
}
const input = (element: Element, name: string): HTMLInputElement => {
  const found = element.shadowRoot?.querySelector<HTMLInputElement>(`input[name=${name}]`)
  if (!found) throw new Error(`no field ${name}`)
  return found
}
const type = (element: Element, name: string, value: string): void => {
  const field = input(element, name)
  field.value = value
  field.dispatchEvent(new Event('change'))
}
const rows = (element: Element): string[][] =>
  [...(element.shadowRoot?.querySelectorAll('table tbody tr') ?? [])].map((row) =>
    [...row.children].map((cell) => (cell.textContent ?? '').replace(/\s+/g, ' ').trim()),
  )
const deficit: Plan = withGraft(uprightPlan, defaultDeficitGraft('11'))

test('a graft is chosen, typed and taken away; each is one step that can be undone', async () => {
  const form = await mounted('alv-graft-form', { plan: uprightPlan })
  const session = new PlanSession(uprightPlan)
  form.addEventListener('alv-plan', (e: AlvEvents['alv-plan']) => session.update(e.detail.plan))
  session.addEventListener('plan-change', () => {
    form.plan = session.plan
  })
  button(form, 'to margin').click()
  await settled()
  expect(session.plan.graft).toMatchObject({ kind: 'deficit', facialMm: 2, otherMm: 1 })
  type(form, 'graft-facialMm', '2.6')
  type(form, 'graft-fromDepthMm', '-1')
  type(form, 'graft-loss', '20')
  await settled()
  expect(session.plan.graft).toMatchObject({
    facialMm: 2.6,
    fromDepthMm: -1,
    loss: { kind: 'share', share: 0.2 },
  })
  input(form, 'graft-overbuilt').click()
  input(form, 'graft-natural').click()
  expect(session.plan.graft).toMatchObject({ overbuilt: false, natural: false })
  const counted = form.shadowRoot?.querySelector('select')
  if (!counted) throw new Error('no choice of what the loss is counted in')
  counted.value = 'mm'
  counted.dispatchEvent(new Event('change'))
  await settled()
  type(form, 'graft-loss', '0.5')
  await settled()
  expect(session.plan.graft?.loss).toEqual({ kind: 'mm', mm: 0.5 })
  button(form, 'layer').click()
  await settled()
  type(form, 'graft-widthMm', '11')
  expect(session.plan.graft).toMatchObject({ kind: 'free', widthMm: 11 })
  await settled()
  button(form, 'none').click()
  expect(session.plan).toEqual(uprightPlan)
  for (let steps = 0; steps < 11; steps++) session.undo()
  expect(session.plan).toBe(uprightPlan)
})

test('what is typed beyond its range is brought back within, and shown so; what is no number is not taken', async () => {
  const form = await mounted('alv-graft-form', {
    plan: withGraft(uprightPlan, defaultFreeGraft(uprightPlan)),
  })
  form.addEventListener('alv-plan', (e: AlvEvents['alv-plan']) => {
    form.plan = e.detail.plan
  })
  type(form, 'graft-thicknessMm', '40')
  await settled()
  expect(input(form, 'graft-thicknessMm').value).toBe('6.00')
  type(form, 'graft-thicknessMm', '')
  await settled()
  expect(input(form, 'graft-thicknessMm').value).toBe('6.00')
})

test('published figures of the loss stand beside it with their sources', async () => {
  const form = await mounted('alv-graft-form', { plan: deficit })
  expect(text(form)).toContain('12.48 ± 2.67 % guided bone regeneration')
  expect(text(form)).toContain('Gultekin 2016')
})

test('the margins stand before, after and after the loss in one table', async () => {
  const readout = await mounted('alv-graft', { plan: deficit, assessment: graftedAssessment })
  expect(text(readout)).toContain('212 mm³ = 0.21 cc')
  expect(text(readout)).toContain('159 mm³ = 0.16 cc')
  expect(text(readout)).toContain('25 % lost')
  expect(text(readout)).toContain('3 of 4: palatal, mesial, distal')
  expect(rows(readout)).toEqual([
    ['least facial, mm', '0.62 ±0.13', '2.00 ±0.13', '1.66 ±0.13'],
    ['least of all, mm', '0.62 ±0.12', '2.00 ±0.12', '1.66 ±0.12'],
    ['dehiscence, mm', '1.5', '0.0', '0.0'],
    ['fenestration, mm²', '0.0', '0.0', '0.0'],
    ['bare in all, mm²', '2.1', '0.0', '0.0'],
  ])
  expect(text(readout)).toContain('up to 0.2 mm below the wanted margin')
  expect(text(readout)).toContain('On 2 rays data is missing')
  for (const told of [
    'described as Seibert class I',
    'Somebody 2011',
    'Three of four walls stand.',
    'Somebody 2013',
  ])
    expect(text(readout)).toContain(told)
})

test('what lies below its limit is told by more than its colour', async () => {
  const readout = await mounted('alv-graft', { plan: deficit, assessment: graftedAssessment })
  const low = [...(readout.shadowRoot?.querySelectorAll('td.below') ?? [])].map((cell) => cell.textContent)
  expect(low.map((cell) => cell?.slice(0, 4).trim())).toEqual(['0.62', '0.62', '1.5', '2.1'])
  for (const cell of readout.shadowRoot?.querySelectorAll('td.below') ?? [])
    expect(getComputedStyle(cell.querySelector('.value') ?? cell).textDecorationLine).toBe('underline')
})

test('without a graft it tells what is missing, and plans it when asked to', async () => {
  const assessment = { ...madeUpAssessment, graftNeeded: madeUpGraftSize }
  const readout = await mounted('alv-graft', { plan: uprightPlan, assessment })
  expect(text(readout)).toContain('212 mm³ (0.21 cc) of bone are missing, 1.4 mm thick at most')
  const moved = new Promise<AlvEvents['alv-plan']>((done) =>
    readout.addEventListener('alv-plan', done, { once: true }),
  )
  button(readout, 'plan it').click()
  expect((await moved).detail).toEqual({ phase: 'step', plan: deficit })
})

test('nothing to graft is said, and so is a layer that is out of reach', async () => {
  const none = await mounted('alv-graft', { plan: uprightPlan, assessment: madeUpAssessment })
  expect(text(none)).toContain('the wanted margins are met all round')
  const met = await mounted('alv-graft', { plan: deficit, assessment: madeUpAssessment })
  expect(text(met)).toContain('Nothing has to be grafted')
  const layer = withGraft(uprightPlan, defaultFreeGraft(uprightPlan))
  const away = await mounted('alv-graft', { plan: layer, assessment: madeUpAssessment })
  expect(text(away)).toContain('nowhere outside bone within reach')
  expect(madeUpGraft.openRays).toBe(2)
})
