import { type ImportedMesh, importMesh, type Mesh, placedCrown, tabulatedCrown } from '@alveometer/core'
import { afterEach, expect, test } from 'vitest'
import { type AlvEvents, defineElements, PlanSession } from '../src/index.js'
import { crownStandOf } from '../src/session/index.js'
import { madeUpAssessment } from './assessment.js'
import { mountedAt, type Tag } from './mounted.js'
import { uprightPlan } from './plan.js'

defineElements()
afterEach(() => document.body.replaceChildren())

const mounted = <T extends Tag>(tag: T, set: Partial<HTMLElementTagNameMap[T]>) =>
  mountedAt([340, 600], tag, set)
const text = (element: Element): string => element.shadowRoot?.textContent?.replace(/\s+/g, ' ') ?? ''
const button = (element: Element, name: string): HTMLButtonElement => {
  const all = [...(element.shadowRoot?.querySelectorAll('button') ?? [])]
  const found = all.find((b) => (b.getAttribute('aria-label') ?? b.textContent)?.trim() === name)
  if (!found) throw new Error(`no button ${name}: ${all.map((b) => b.textContent).join(', ')}`)
  return found
}
const type = (element: Element, field: string, value: string): void => {
  const input = element.shadowRoot?.querySelector<HTMLInputElement>(`input[name=${field}]`)
  if (!input) throw new Error(`no field ${field}`)
  input.value = value
  input.dispatchEvent(new Event('change'))
}

/** An OBJ of a mesh, in a unit. */
const obj = ({ positions, triangles }: Mesh, unitMm = 1): Uint8Array => {
  const lines: string[] = []
  for (let n = 0; n < positions.length; n += 3)
    lines.push(`v ${[0, 1, 2].map((axis) => (positions[n + axis] as number) / unitMm).join(' ')}`)
  for (let n = 0; n < triangles.length; n += 3)
    lines.push(`f ${[0, 1, 2].map((corner) => (triangles[n + corner] as number) + 1).join(' ')}`)
  return new TextEncoder().encode(lines.join('\n'))
}

test('tilts and places that are typed move the crown; the norm stands beside with its source', async () => {
  const form = await mounted('alv-crown-form', { plan: uprightPlan })
  const session = new PlanSession(uprightPlan)
  form.addEventListener('alv-plan', (e: AlvEvents['alv-plan']) => session.update(e.detail.plan))
  type(form, 'crown-tilt-facial', '9.5')
  expect(crownStandOf(session.plan).facialDeg).toBeCloseTo(9.5, 9)
  // Dempster 1963: upper central incisors lean 28 degrees.
  expect(text(form)).toContain('28.0° facial, in line with the arch')
  expect(text(form)).toContain('Andrews 1972')
  button(form, 'norm').click()
  expect(crownStandOf(session.plan).facialDeg).toBeCloseTo(28, 9)
})

test('a crown of the table shows its sizes; one of a file those it has, and none to type', async () => {
  const form = await mounted('alv-crown-form', {
    plan: uprightPlan,
    placed: placedCrown(uprightPlan, undefined),
    shown: 'form',
  })
  const values = [...(form.shadowRoot?.querySelectorAll('input[type=number]') ?? [])].map(
    (input) => (input as HTMLInputElement).value,
  )
  // Nelson and Ash: 10.5 long, 8.5 mesiodistally, 7 labiolingually.
  expect(values).toEqual(['10.50', '8.50', '7.00'])
  form.plan = {
    ...uprightPlan,
    crown: { kind: 'mesh', file: 'a.stl', tooth: '21', unitMm: 25.4, pose: uprightPlan.crown.pose },
  }
  await form.updateComplete
  expect(text(form)).toContain('a.stl, 21 mirrored, in inches: 10.5 mm long, 8.5 mm wide, 7.0 mm deep')
  expect(form.shadowRoot?.querySelectorAll('input[type=number]').length).toBe(0)
})

test('places on the neighbours are asked for, shown as set and taken away', async () => {
  const form = await mounted('alv-crown-form', { plan: uprightPlan, shown: 'gap' })
  const asked: unknown[] = []
  form.addEventListener('alv-pick-neighbour', (e) => asked.push(e.detail))
  button(form, "Point at the distal tooth's CEJ").click()
  expect(asked).toEqual([{ side: 'distal', mark: 'cej' }])
  form.plan = { ...uprightPlan, site: { ...uprightPlan.site, neighbours: { distal: { cej: [1, 2, 3] } } } }
  await form.updateComplete
  const session = new PlanSession(form.plan)
  form.addEventListener('alv-plan', (e: AlvEvents['alv-plan']) => session.update(e.detail.plan))
  button(form, "Take away the distal tooth's CEJ").click()
  expect(session.plan.site.neighbours).toEqual({ distal: {} })
  expect(button(form, 'Fit to the gap').disabled).toBe(true)
})

const asking = async (imported: ImportedMesh) => {
  const panel = await mounted('alv-crown-import', { imported, tooth: '11' })
  const chosen: unknown[] = []
  panel.addEventListener('alv-crown-choice', (e) => chosen.push(e.detail))
  return { panel, chosen }
}

test('a mesh in millimetres: what is in it, and three uses', async () => {
  const { panel, chosen } = await asking(importMesh(obj(tabulatedCrown('11').mesh), 'crown.obj'))
  expect(text(panel)).toContain('10.5 mm; closed')
  button(panel, 'Use as the crown of 11').click()
  button(panel, 'Mirror it: it is of 21').click()
  expect(chosen).toEqual(['this', 'mirror'].map((use) => ({ use, unitMm: 1, where: 'site', space: 'lps' })))
})

test('a size that no crown has: nothing goes on before a unit is chosen', async () => {
  const { panel, chosen } = await asking(importMesh(obj(tabulatedCrown('11').mesh, 1000), 'crown.obj'))
  expect(text(panel)).toContain('choose its unit')
  expect(button(panel, 'Use as the crown of 11').disabled).toBe(true)
  button(panel, 'metres').click()
  button(panel, 'where the file says').click()
  await panel.updateComplete
  expect(text(panel)).toContain('10.5 mm; closed')
  button(panel, 'RAS (x and y turned over)').click()
  button(panel, 'Use as the crown of 11').click()
  expect(chosen).toEqual([{ use: 'this', unitMm: 1000, where: 'file', space: 'ras' }])
})

test('three ways of holding the crown, each with a mark and a word; what makes it so in words', async () => {
  const table = await mounted('alv-retention', { retention: madeUpAssessment.retention })
  const cells = [...(table.shadowRoot?.querySelectorAll('tbody td') ?? [])].map((cell) =>
    cell.textContent?.trim(),
  )
  expect(cells).toEqual(['closed', 'open', 'with reserve'])
  expect(table.shadowRoot?.querySelectorAll('tbody svg').length).toBe(3)
  const reasons = [...(table.shadowRoot?.querySelectorAll('.reason') ?? [])].map((p) => p.textContent)
  expect(reasons).toHaveLength(2)
  expect(reasons[0]).toContain('2.31 mm facial of the incisal edge')
  expect(text(table)).toContain('Somebody 2011')
})

test('depth and emergence: numbers with limits, eight angles that lie as the collar does', async () => {
  const limits = { depthLeastMm: 3, depthGreatestMm: 4, emergenceDeg: 30 }
  const drawn = await mounted('alv-emergence', {
    emergence: madeUpAssessment.emergence,
    plan: uprightPlan,
    limits,
  })
  const told = text(drawn)
  expect(told).toContain('3.0 mm limits 3–4')
  expect(told).toContain('mesial 2.4 mm')
  expect(told).toContain('2.0 mm palatal')
  expect(told).toContain('34° facial limit 30°')
  expect(drawn.shadowRoot?.querySelectorAll('line.spoke').length).toBe(8)
  // Tooth 11: mesial is the patient's left, on the right of the drawing as on the collar.
  const texts = [...(drawn.shadowRoot?.querySelectorAll<SVGTextElement>('svg text') ?? [])]
  const x = (label: string) => Number(texts.find((t) => t.textContent === label)?.getAttribute('x'))
  expect(x('14°')).toBeGreaterThan(x('16°'))
  expect(texts.filter((t) => t.classList.contains('above')).map((t) => t.textContent)).toEqual(['34°'])
})
