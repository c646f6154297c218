import axe from 'axe-core'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { type AlvEvents, type AlvGreyCalibration, defineElements } from '../src/index.js'
import { mountedAt, settled } from './mounted.js'

defineElements()
afterEach(() => document.body.replaceChildren())
beforeEach(() => {
  document.documentElement.lang = 'en'
})

const text = (element: Element): string => element.shadowRoot?.textContent?.replace(/\s+/g, ' ') ?? ''
const fieldsOf = (element: Element, name: string): HTMLInputElement[] => [
  ...(element.shadowRoot?.querySelectorAll<HTMLInputElement>(`input[name=${name}]`) ?? []),
]
const values = (element: Element, name: string): string[] => fieldsOf(element, name).map((f) => f.value)

async function type(element: Element, name: string, n: number, value: string): Promise<void> {
  const field = fieldsOf(element, name)[n]
  if (!field) throw new Error(`no ${name} ${n}`)
  field.focus()
  field.value = value
  field.dispatchEvent(new Event('input', { bubbles: true }))
  await settled()
}

async function press(element: Element, name: string): Promise<void> {
  const found = [...(element.shadowRoot?.querySelectorAll('button') ?? [])].find(
    (b) => (b.getAttribute('aria-label') ?? b.textContent?.trim()) === name,
  )
  if (!found) throw new Error(`no button ${name}`)
  found.click()
  await settled()
}

type Told = AlvEvents['alv-grey-calibration']['detail']

async function form(set: Partial<AlvGreyCalibration> = {}, width = 390) {
  const element = await mountedAt([width, 700], 'alv-grey-calibration', set)
  const told: Told[] = []
  element.addEventListener('alv-grey-calibration', (e) => told.push(e.detail))
  return { element, told, focused: () => element.shadowRoot?.activeElement as HTMLInputElement | null }
}

test('two grey values typed and applied make a calibration; air and soft tissue stand there as estimates', async () => {
  const { element, told } = await form()
  expect(values(element, 'what')).toEqual(['air', 'soft tissue'])
  expect(values(element, 'hu')).toEqual(['-1000', '40'])
  expect(element.shadowRoot?.querySelectorAll('.estimate')).toHaveLength(2)
  await type(element, 'grey', 0, '-1000')
  await type(element, 'grey', 1, '0,0')
  expect(text(element)).toContain('HU = 1.040 × grey + 40, not applied yet')
  expect(text(element)).toContain('40 ±98 HU at grey 0')
  element.shadowRoot?.querySelector('form')?.requestSubmit()
  const calibration = {
    points: [
      { what: 'air', grey: -1000, hu: -1000 },
      { what: 'soft tissue', grey: 0, hu: 40 },
    ],
  }
  expect(told).toEqual([{ calibration }])
  element.calibration = calibration
  await settled()
  expect(text(element)).toContain('in force')
})

test('a missing number is told, marked and gone to; nothing is applied', async () => {
  const { element, told, focused } = await form()
  await type(element, 'grey', 0, '-1000')
  await press(element, 'Apply')
  expect(told).toEqual([])
  expect(text(element)).toContain('soft tissue: the grey value is missing.')
  expect(focused()).toBe(fieldsOf(element, 'grey')[1])
  expect(focused()?.getAttribute('aria-invalid')).toBe('true')
  await type(element, 'grey', 1, '1,250')
  await press(element, 'Apply')
  expect(text(element)).toContain('can be read in two ways: write 1250 or 1,25.')
  await type(element, 'grey', 1, '-2000')
  await press(element, 'Apply')
  expect(text(element)).toContain('must make a rising line')
  expect(told).toEqual([])
})

test('rows are added, suggested and removed, the focus stays in the form', async () => {
  const { element, focused } = await form()
  await press(element, 'Add point')
  expect(focused()).toBe(fieldsOf(element, 'what')[2])
  await press(element, 'water 0')
  expect(values(element, 'what')).toEqual(['air', 'soft tissue', 'water'])
  expect(focused()).toBe(fieldsOf(element, 'grey')[2])
  await press(element, 'Remove soft tissue')
  expect(values(element, 'what')).toEqual(['air', 'water'])
  expect(focused()?.getAttribute('aria-label')).toBe('Remove water')
  await press(element, 'Remove water')
  await press(element, 'Remove air')
  expect(values(element, 'what')).toEqual([])
  expect(focused()?.textContent).toBe('Add point')
  await press(element, 'air \u22121000')
  expect(values(element, 'hu')).toEqual(['-1000'])
})

test('a grey value from the picture fills the row that waits, then the next without one', async () => {
  const { element } = await form({ pickable: true })
  let asked = 0
  element.addEventListener('alv-pick-grey', () => asked++)
  await press(element, 'measure soft tissue in the picture')
  expect(asked).toBe(1)
  element.pick = { grey: 51.236, greySd: 17.5 }
  await settled()
  expect(values(element, 'grey')).toEqual(['', '51.24'])
  expect(values(element, 'greySd')).toEqual(['', '17.5'])
  // Air at the end of the scale has no spread to tell of.
  element.pick = { grey: -1000, greySd: 0 }
  await settled()
  expect(values(element, 'grey')).toEqual(['-1000', '51.24'])
  expect(values(element, 'greySd')).toEqual(['', '17.5'])
})

test('the field at hand is the one that a pick goes into', async () => {
  const { element } = await form()
  fieldsOf(element, 'hu')[1]?.focus()
  element.pick = { grey: 60 }
  await settled()
  expect(values(element, 'grey')).toEqual(['', '60'])
})

test('the calibration of the plan is shown; Clear takes it back', async () => {
  const points = [
    { what: 'water', grey: 12, greySd: 8, hu: 0, huSd: 5 },
    { what: 'rod', grey: 900, hu: 1000 },
  ]
  const { element, told } = await form({ calibration: { points } })
  expect(values(element, 'grey')).toEqual(['12', '900'])
  expect(values(element, 'huSd')).toEqual(['5', ''])
  expect(text(element)).toContain('in force')
  await press(element, 'Clear')
  expect(told).toEqual([{ calibration: undefined }])
  expect(values(element, 'what')).toEqual(['air', 'soft tissue'])
  element.calibration = undefined
  await settled()
  expect(text(element)).toContain('No calibration is in force.')
  // An undone step brings it back.
  element.calibration = { points }
  await settled()
  expect(values(element, 'what')).toEqual(['water', 'rod'])
})

test.each([250, 366, 390, 640])(
  'in a width of %i pixels nothing sticks out and every field can be hit',
  async (width) => {
    const { element } = await form({ pickable: true }, width)
    expect(element.scrollWidth).toBeLessThanOrEqual(width)
    for (const control of element.shadowRoot?.querySelectorAll('button, input') ?? []) {
      expect(control.getBoundingClientRect().height).toBeGreaterThanOrEqual(24)
      expect(control.getBoundingClientRect().width).toBeGreaterThanOrEqual(24)
      expect(control.getBoundingClientRect().right).toBeLessThanOrEqual(element.getBoundingClientRect().right)
    }
  },
)

test('axe finds nothing in the way of anyone', async () => {
  const { element } = await form({ pickable: true })
  await press(element, 'Apply')
  const { violations } = await axe.run(element)
  expect(violations.filter((v) => v.impact === 'serious' || v.impact === 'critical')).toEqual([])
})
