import { afterEach, expect, test } from 'vitest'
import { type AlvEvents, type DrawnPlace, defineElements, PlanSession } from '../src/index.js'
import { platformOffsetMm, tiltOf } from '../src/session/index.js'
import { madeUpAssessment } from './assessment.js'
import { mountedAt, type Tag } from './mounted.js'
import { uprightPlan } from './plan.js'
import { refinedMargin } from './refined-margin.js'

defineElements()
afterEach(() => document.body.replaceChildren())

const mounted = <T extends Tag>(tag: T, set: Partial<HTMLElementTagNameMap[T]>) =>
  mountedAt([640, 640], tag, set)

const text = (element: Element): string => element.shadowRoot?.textContent?.replace(/\s+/g, ' ') ?? ''
const inside = (element: Element, selector: string): HTMLElement => {
  const found = element.shadowRoot?.querySelector<HTMLElement>(selector)
  if (!found) throw new Error(`no ${selector}`)
  return found
}
const press = (element: Element, key: string, more: KeyboardEventInit = {}): boolean =>
  element.dispatchEvent(
    new KeyboardEvent('keydown', { key, bubbles: true, composed: true, cancelable: true, ...more }),
  )

/** Connects an element with a session as a page does. */
function follow(element: HTMLElement & { plan: unknown }): PlanSession {
  const session = new PlanSession(uprightPlan)
  element.addEventListener('alv-plan', (event: AlvEvents['alv-plan']) => {
    const { phase, plan } = event.detail
    if (phase === 'begin') session.begin()
    else if (phase === 'end') session.commit()
    else if (phase === 'cancel') session.cancel()
    else session.update(plan)
  })
  session.addEventListener('plan-change', () => {
    element.plan = session.plan
  })
  return session
}

test('the section draws margins, exit, depth and tilt with their units', async () => {
  const section = await mounted('alv-section', {
    plan: uprightPlan,
    assessment: madeUpAssessment,
    collarDepthMm: 2.5,
  })
  const drawn = text(section)
  // The ray's own interval is ±0.08; with the floor of 0.10, in squares, ±0.13 is shown.
  expect(drawn).toContain('0.62 ±0.13')
  expect(drawn).toContain('2.00 ±0.13')
  expect(drawn).toContain('exit 2.31\u202fmm facial of incisal edge'.replace(/\s+/g, ' '))
  expect(drawn).toContain('facial · A')
  expect(drawn).toContain('palatal · P')
  expect(drawn).toContain('3.0 mm apical of CEJ')
})

test('arrow keys move the fixture by 0.1 mm within the section, undo brings it back', async () => {
  const section = await mounted('alv-section', { plan: uprightPlan, assessment: madeUpAssessment })
  const session = follow(section)
  const stage = inside(section, '.stage')
  stage.focus()
  press(stage, 'ArrowLeft')
  // Left is facial: from -1 to -0.9 mm.
  expect(platformOffsetMm(session.plan)[0]).toBeCloseTo(-0.9, 9)
  press(stage, 'ArrowUp')
  expect(platformOffsetMm(session.plan)[2]).toBeCloseTo(3.1, 9)
  session.undo()
  session.undo()
  expect(session.plan).toBe(uprightPlan)
})

test('Shift and arrow tilts by half a degree towards the arrow', async () => {
  const section = await mounted('alv-section', { plan: uprightPlan, assessment: madeUpAssessment })
  const session = follow(section)
  press(inside(section, '.stage'), 'ArrowLeft', { shiftKey: true })
  expect(tiltOf(session.plan).facialDeg).toBeCloseTo(0.5, 9)
})

test('arrow keys on a handle move that end alone', async () => {
  const section = await mounted('alv-section', { plan: uprightPlan, assessment: madeUpAssessment })
  const session = follow(section)
  press(inside(section, '[data-handle=apex]'), 'ArrowRight')
  expect(session.plan.fixture.platform).toEqual(uprightPlan.fixture.platform)
  // The apex went 0.1 mm palatally (back): the channel leans facially by atan(0.1 / 10).
  expect(tiltOf(session.plan).facialDeg).toBeCloseTo((Math.atan(0.01) * 180) / Math.PI, 6)
})

test('a drag with the pointer is one step', async () => {
  const section = await mounted('alv-section', { plan: uprightPlan, assessment: madeUpAssessment })
  const session = follow(section)
  const view = section.view
  if (view === null) throw new Error('no view')
  const grip = inside(section, '[data-handle=body]')
  grip.setPointerCapture = () => {}
  const at = (type: string, x: number): boolean =>
    grip.dispatchEvent(
      new PointerEvent(type, {
        pointerId: 1,
        clientX: x,
        clientY: 300,
        bubbles: true,
        composed: true,
        button: 0,
      }),
    )
  at('pointerdown', 300)
  for (let n = 1; n <= 10; n++) at('pointermove', 300 - 5 * n)
  at('pointerup', 250)
  expect(platformOffsetMm(session.plan)[0]).toBeCloseTo(-1 + 50 * view.mmPerPixel, 9)
  session.undo()
  expect(session.plan).toBe(uprightPlan)
})

test('where a place is asked for, a click tells it in the patient and moves nothing', async () => {
  for (const tag of ['alv-section', 'alv-collar'] as const) {
    const drawing = await mounted(tag, { plan: uprightPlan, picking: true })
    const session = follow(drawing)
    const told: DrawnPlace[] = []
    drawing.addEventListener('alv-pick', (e) => told.push(e.detail))
    const { view } = drawing
    if (view === null) throw new Error('no view')
    const grip = inside(drawing, '[data-handle=body]')
    const box = inside(drawing, '.stage').getBoundingClientRect()
    const at = {
      clientX: box.x + view.width / 2 + 10,
      clientY: box.y + view.height / 2,
      bubbles: true,
      composed: true,
    }
    for (const type of ['pointerdown', 'pointermove', 'pointerup'])
      grip.dispatchEvent(new PointerEvent(type, { ...at, pointerId: 1, button: 0 }))
    grip.dispatchEvent(new MouseEvent('click', at))
    const expected = view.centre.map((v, n) => v + 10 * view.mmPerPixel * (view.right[n] ?? 0))
    expect(told.length).toBe(1)
    told[0]?.centre.forEach((v, n) => {
      // The stage has a border of a pixel.
      expect(Math.abs(v - (expected[n] ?? 0))).toBeLessThan(2 * view.mmPerPixel)
    })
    expect(told[0]?.right).toEqual(view.right)
    expect(session.plan).toBe(uprightPlan)
    drawing.picking = false
    grip.dispatchEvent(new MouseEvent('click', at))
    expect(told.length).toBe(1)
  }
})

test('Page Up and Page Down ask for another collar', async () => {
  const section = await mounted('alv-section', { plan: uprightPlan, collarDepthMm: 2.5 })
  const asked: number[] = []
  section.addEventListener('alv-collar-depth', (e) => asked.push(e.detail.depthMm))
  press(inside(section, '.stage'), 'PageUp')
  press(inside(section, '.stage'), 'PageDown')
  expect(asked).toEqual([2.75, 2.25])
})

test('the collar names its sides and dimensions the margins', async () => {
  const collar = await mounted('alv-collar', {
    plan: uprightPlan,
    assessment: madeUpAssessment,
    collarDepthMm: 2.5,
  })
  const drawn = text(collar)
  for (const word of ['facial · A', 'palatal · P', 'distal · R', 'mesial · L', '0.62 ±0.13'])
    expect(drawn).toContain(word)
})

test('the map tells a cell under the keys, and why there is no number', async () => {
  const map = await mounted('alv-margin-map', { margin: madeUpAssessment.margin, collarDepthMm: 2.5 })
  const plot = inside(map, '.plot')
  press(plot, 'ArrowRight')
  press(plot, 'ArrowLeft')
  await map.updateComplete
  expect(text(map)).toContain('0° facial: 0.62 ±0.13')
  for (let n = 0; n < 3; n++) press(plot, 'ArrowRight')
  await map.updateComplete
  expect(text(map)).toContain('90° mesial: no number, no outer bone surface within reach')
})

test('section and collar dimension each margin with the interval of its own ray', async () => {
  const assessment = { ...madeUpAssessment, margin: refinedMargin }
  for (const tag of ['alv-section', 'alv-collar'] as const) {
    const drawn = text(await mounted(tag, { plan: uprightPlan, assessment, collarDepthMm: 2.5 }))
    expect(drawn).toContain('0.62 ±0.25')
    expect(drawn).toContain('2.00 ±0.13')
  }
})

test('a refined cell tells its plate and what makes it less sure', async () => {
  const map = await mounted('alv-margin-map', { margin: refinedMargin, collarDepthMm: 2.5 })
  const plot = inside(map, '.plot')
  press(plot, 'ArrowRight')
  press(plot, 'ArrowLeft')
  await map.updateComplete
  expect(text(map)).toContain(
    '2.5 mm deep, 0° facial: 0.62 ±0.25 mm, plate 0.31 ±0.10 mm; thin plate, less sure',
  )
  for (let n = 0; n < 6; n++) press(plot, 'ArrowRight')
  await map.updateComplete
  expect(text(map)).toContain(
    '180° palatal: 2.00 ±0.13 mm, plate 1.00 ±0.10 mm; perhaps through a tooth; not refined',
  )
})

test('a tap tells the cell under it, and puts the collar there', async () => {
  const map = await mounted('alv-margin-map', { margin: refinedMargin, collarDepthMm: 2.5 })
  const plot = inside(map, '.plot')
  const box = plot.getBoundingClientRect()
  // The second of five rows, just right of the middle: 30 degrees.
  const at = { clientX: box.x + 0.55 * box.width, clientY: box.y + 0.3 * box.height, bubbles: true }
  const asked: number[] = []
  map.addEventListener('alv-collar-depth', (e) => asked.push(e.detail.depthMm))
  plot.dispatchEvent(new PointerEvent('pointerleave', { ...at, pointerType: 'touch' }))
  plot.dispatchEvent(new MouseEvent('click', at))
  await map.updateComplete
  expect(asked).toEqual([2.5])
  expect(text(map)).toMatch(/2\.5 mm deep, (0|30)° facial/)
})

test('every flag on the map has its mark and its key, and none that is not there', async () => {
  const map = await mounted('alv-margin-map', { margin: refinedMargin })
  expect(map.shadowRoot?.querySelectorAll('.plot .leak .ring:not(.cas)').length).toBe(1)
  for (const flag of ['thin', 'tooth'])
    expect(inside(map, `.plot path[fill="url(#${flag})"]`).getAttribute('d')).toMatch(/^M/)
  const keys = (): string => inside(map, '.keys').textContent?.replace(/\s+/g, ' ') ?? ''
  for (const key of ['below limit', 'no number', 'thin plate', 'tooth?', 'pinhole?'])
    expect(keys()).toContain(key)
  map.margin = madeUpAssessment.margin
  await map.updateComplete
  for (const key of ['below limit', 'no number']) expect(keys()).toContain(key)
  for (const key of ['thin plate', 'tooth?', 'pinhole?']) expect(keys()).not.toContain(key)
})

test('the map shows margin, nearest distance or plate, each on its own scale', async () => {
  const map = await mounted('alv-margin-map', { margin: refinedMargin, collarDepthMm: 2.5 })
  const press3 = (name: string): void => inside(map, `.views button[aria-label="${name}"]`).click()
  const colourAt = (row: number, column: number): number[] => {
    const canvas = inside(map, 'canvas.map') as HTMLCanvasElement
    return [...(canvas.getContext('2d')?.getImageData(column, row, 1, 1).data ?? [])]
  }
  expect(text(map)).toContain('4 mm along the ray')
  // Column 0 of the picture is palatal: 2 mm of 4, and a plate of 1 mm of 3.
  const margin = colourAt(1, 0)
  press3('plate thickness')
  await map.updateComplete
  expect(text(map)).toContain('3 mm thick')
  expect(colourAt(1, 0)).not.toEqual(margin)
  expect(text(map)).not.toContain('below limit')
  press3('nearest')
  await map.updateComplete
  expect(text(map)).toContain('4 mm the shortest way')
  expect(inside(map, 'text.value').textContent).toBe('0.60\u00a0±0.12')
  press(inside(map, '.plot'), 'ArrowRight')
  press(inside(map, '.plot'), 'ArrowLeft')
  await map.updateComplete
  expect(text(map)).toContain('nearest 0.60 ±0.25 mm, 0.62 ±0.25 mm along the ray')
})

test('what only the refined measurement knows is announced while the hand moves, not shown as if it were known', async () => {
  const map = await mounted('alv-margin-map', { margin: madeUpAssessment.margin, view: 'plate' })
  expect(text(map)).toContain('measured when the hand rests')
  expect(map.shadowRoot?.querySelector('text.value')).toBeNull()
  map.margin = refinedMargin
  await map.updateComplete
  expect(text(map)).not.toContain('measured when the hand rests')
})

test('Enter on the map asks for the collar at the cell', async () => {
  const map = await mounted('alv-margin-map', { margin: madeUpAssessment.margin, collarDepthMm: 2.5 })
  const asked: number[] = []
  map.addEventListener('alv-collar-depth', (e) => asked.push(e.detail.depthMm))
  press(inside(map, '.plot'), 'ArrowDown')
  press(inside(map, '.plot'), 'Enter')
  expect(asked).toEqual([5])
})

test('typing a number moves the fixture, nonsense does not', async () => {
  const placement = await mounted('alv-placement', { plan: uprightPlan })
  const session = follow(placement)
  const field = inside(placement, 'input[name=tilt-facial]') as HTMLInputElement
  field.value = '12.5'
  field.dispatchEvent(new Event('change'))
  expect(tiltOf(session.plan).facialDeg).toBeCloseTo(12.5, 9)
  field.value = ''
  field.dispatchEvent(new Event('change'))
  await placement.updateComplete
  expect(tiltOf(session.plan).facialDeg).toBeCloseTo(12.5, 9)
  expect(field.value).toBe('12.50')
})

test('readouts carry units, tolerance and the unit of grey', async () => {
  const { exit: found, channel, angled } = madeUpAssessment
  const exit = await mounted('alv-exit', { exit: found, channel, angled, leastWallMm: 0.8 })
  expect(text(exit)).toContain('2.31 mm facial of the incisal edge')
  expect(text(exit)).toContain('0.42 mm facial limit 0.80')
  expect(text(exit)).toContain('14.2°, 16.8° with the wall kept limit 25°')
  const margin = await mounted('alv-margin', { margin: madeUpAssessment.margin })
  expect(text(margin)).toContain('0.62 ±0.12 mm')
  expect(text(margin)).toContain('0.60 ±0.12 mm')
  const density = await mounted('alv-density', { density: madeUpAssessment.density })
  expect(text(density)).toContain('grey value (not HU)')
  expect(text(density)).toContain('apical thirdoutside the scan')
})

test('the margin tells which measurement it is from', async () => {
  const margin = await mounted('alv-margin', { margin: madeUpAssessment.margin, doing: 'moving' })
  expect(text(margin)).toContain('fast, while moving')
  margin.doing = 'refining'
  await margin.updateComplete
  expect(text(margin)).toContain('fast, being refined')
  const { height } = margin.getBoundingClientRect()
  margin.margin = { ...madeUpAssessment.margin, mode: 'refined' }
  margin.doing = ''
  await margin.updateComplete
  expect(text(margin)).toContain('Bone marginrefined')
  expect(margin.getBoundingClientRect().height).toBe(height)
})

test('sectors, thirds, what is bare and what is in bone', async () => {
  const margin = await mounted('alv-margin', { margin: refinedMargin })
  const shown = text(margin)
  expect(shown).toMatch(/facial\s*0\.62 ±0\.13\s*1\.50\s*30 %\s*9\.4/)
  expect(shown).toContain('limit 1.00; ± at least 0.10')
  expect(shown).toContain('At least ± 0.10 mm is shown.')
  expect(shown).toMatch(/all\s*0\.62\s*2\.00\s*2\.00\s*2\.00\s*2\.00\s*2\.00/)
  expect(shown).toMatch(/dehiscence\s*1\.5 high × 1\.8 mm wide, 2\.1 mm², facial/)
  expect(shown).toMatch(/fenestration\s*2\.3 mm², facial, 5\.6 to 7\.4 mm deep/)
  expect(shown).toContain('and 1 smaller, 0.4 mm²')
  expect(shown).toMatch(/in bone\s*98\.3 %, 123\.6 mm²/)
  expect(shown).toMatch(/past apex\s*6\.31 ±0\.12 mm of bone/)
  const asked: number[] = []
  margin.addEventListener('alv-collar-depth', (e) => asked.push(e.detail.depthMm))
  inside(margin, 'button[aria-label="show this fenestration"]').click()
  expect(asked).toEqual([6.5])
})

test('where data is missing the numbers say that the bone may be less, and what was left out', async () => {
  const { margin, density } = madeUpAssessment
  const { facial, ...others } = margin.sectors
  if (!facial) throw new Error('no facial sector')
  const missing = {
    ...margin,
    sectors: { facial: { ...facial, openRays: 3 }, ...others },
    exposureOpen: true,
    dehiscences: margin.dehiscences.map((region) => ({ ...region, open: true })),
  }
  const shown = await mounted('alv-margin', { margin: missing })
  expect(text(shown)).toContain('≤ 0.62')
  expect(text(shown)).toContain('On 7 rays data is missing')
  expect(text(shown)).toMatch(/facial, or more/)
  const grey = await mounted('alv-density', {
    density: { ...density, noDataShare: { core: 0.12, shell: 0 } },
  })
  expect(text(grey)).toContain('12\u202f% of the body'.replace(/\s/g, ' '))
})

test('findings show what falls below first, with its source', async () => {
  const findings = await mounted('alv-findings', { findings: madeUpAssessment.findings })
  expect(text(findings).indexOf('Too little.')).toBeLessThan(text(findings).indexOf('Met.'))
  expect(text(findings)).toContain('Somebody 2001 low-one')
})

test('the load report shows progress with Cancel, and says that the scan before was kept', async () => {
  const report = await mounted('alv-load-report', { progress: { stage: 'pixels', done: 3, total: 9 } })
  expect(text(report)).toContain('reading slices 3 of 9')
  let cancelled = 0
  report.addEventListener('alv-cancel-load', () => cancelled++)
  inside(report, 'button').click()
  expect(cancelled).toBe(1)
})

test('every control is at least 24 pixels high, handles 44', async () => {
  const section = await mounted('alv-section', { plan: uprightPlan, assessment: madeUpAssessment })
  for (const button of section.shadowRoot?.querySelectorAll('button') ?? [])
    expect(button.getBoundingClientRect().height).toBeGreaterThanOrEqual(24)
  expect(inside(section, '[data-handle=apex] .area').getBoundingClientRect().height).toBeGreaterThanOrEqual(
    44,
  )
})

test('a finger on a handle does not scroll the page', async () => {
  const section = await mounted('alv-section', { plan: uprightPlan, assessment: madeUpAssessment })
  const finger = (on: Element): TouchEvent => {
    const event = new TouchEvent('touchstart', { bubbles: true, composed: true, cancelable: true })
    on.dispatchEvent(event)
    return event
  }
  expect(finger(inside(section, '[data-handle=apex] .mark')).defaultPrevented).toBe(true)
  expect(finger(inside(section, 'canvas')).defaultPrevented).toBe(false)
})
