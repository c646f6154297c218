import { guidedError, type PlacementError } from '@alveometer/core'
import axe from 'axe-core'
import { html, render, svg } from 'lit'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { page } from 'vitest/browser'
import type { View } from '../src/drawing/view.js'
import { defineElements } from '../src/index.js'
import { type AlvMissCloud, missAxes, missDots } from '../src/miss-cloud/index.js'
import { madeUpCloud, madeUpFreehand } from './miss-cloud-made-up.js'
import { mountedAt, settled } from './mounted.js'

defineElements()
beforeEach(async () => {
  document.documentElement.lang = 'en'
  document.title = 'Alveometer'
  await page.viewport(900, 1100)
})
afterEach(() => document.body.replaceChildren())

const mounted = (set: Partial<AlvMissCloud> = {}, width = 690): Promise<AlvMissCloud> =>
  mountedAt([width, 900], 'alv-miss-cloud', { cloud: madeUpCloud(), ...set })

const all = (element: Element, selector: string): Element[] => [
  ...(element.shadowRoot?.querySelectorAll(selector) ?? []),
]
const inside = (element: Element, selector: string): HTMLElement => {
  const found = element.shadowRoot?.querySelector<HTMLElement>(selector)
  if (!found) throw new Error(`no ${selector}`)
  return found
}
const text = (element: Element | undefined): string =>
  element?.textContent?.replace(/[\s\u202f\u00a0]+/g, ' ').trim() ?? ''
const button = (element: Element, name: string): HTMLElement => {
  const found = all(element, 'button').find((each) => text(each) === name)
  if (!(found instanceof HTMLElement)) throw new Error(`no ${name}`)
  return found
}

function follow(cloud: AlvMissCloud): PlacementError[] {
  const errors: PlacementError[] = []
  cloud.addEventListener('alv-placement-error', ({ detail }) => {
    errors.push(detail)
  })
  return errors
}

test('the headline tells how often all limits hold, and how exact a placement must be to keep them', async () => {
  const head = text(inside(await mounted(), '.head'))
  expect(head).toContain('All limits hold in 57 % of placements (±1, 10,000 drawn)')
  // 0.256 mm x 1.596, 0.95 degrees x 1.2533.
  expect(head).toContain('To keep them in 95 %: entry within 0.4 mm and angle within 1.2° on average')
})

test('planned bone carries the interval of its measurement, what is measured on the crown none', async () => {
  const rows = all(await mounted(), 'tbody tr').map((tr) => text(tr))
  const bone = rows.filter((row) => / bone at least/.test(row))
  expect(bone.length).toBeGreaterThan(1)
  // Made up with an SD of 0.1 mm of the surface: 1.96 times that.
  for (const row of bone) expect(row).toMatch(/planned −?[0-9.]+ mm ±0\.20/)
  const platform = rows.filter((row) => row.startsWith('platform'))
  expect(platform.length).toBeGreaterThan(0)
  for (const row of platform) expect(row).not.toContain('±0.20')
})

test('a plan that no placement can keep says so, one that is not worked out yet does not', async () => {
  const cloud = await mounted({ cloud: madeUpFreehand() })
  expect(text(inside(cloud, '.keep'))).toMatch(/^No placement, however exact, keeps them in 95 %: .* in 71 %/)
  cloud.cloud = madeUpCloud({ tolerable: null, complete: false, allHoldStill: 0 })
  await settled()
  expect(text(inside(cloud, '.keep'))).toContain('is being worked out')
  cloud.cloud = madeUpCloud({ tolerable: null, surfaceSdMm: 0, allHoldStill: 0 })
  await settled()
  expect(text(inside(cloud, '.keep'))).toContain('the plan itself misses a limit')
  const { tolerable } = madeUpCloud()
  cloud.cloud = madeUpCloud({ tolerable: tolerable && { ...tolerable, scale: 4, atLeast: true } })
  await settled()
  expect(text(inside(cloud, '.keep'))).toMatch(/^They are kept in 95 % even when/)
})

test('limits stand in their order with trade words, chance, plan and spread; the first to fail is marked', async () => {
  const cloud = await mounted()
  const rows = all(cloud, 'table:not(.ends) tbody tr')
  expect(
    rows.map((row) => text(row.querySelector('th')?.firstChild?.parentElement ?? undefined).split(' at ')[0]),
  ).toEqual(['facial bone', 'nearest bone', 'exit behind the edge', 'bend', 'platform deep enough'])
  expect(rows.map((row) => text(row.querySelector('.share') ?? undefined))).toEqual([
    '64 %',
    '75 %',
    '83 %',
    '99.7 %',
    '100 %',
  ])
  expect(all(cloud, '.fails').map(text)).toEqual(['▾ first to be missed in 62 % of the misses'])
  expect(rows[0]?.contains(all(cloud, '.fails')[0] ?? null)).toBe(true)
  expect(text(rows[2]?.querySelectorAll('td')[2])).toBe('3.96 to 0.84 mm palatal')
  expect(text(rows[3])).toContain('no number in 12 placements: counted as missed')
})

test('each limit has its histogram, the missed side hatched, told to those who do not see it', async () => {
  const cloud = await mounted()
  const pictures = all(cloud, 'svg.histogram')
  expect(pictures).toHaveLength(5)
  expect(text(pictures[0]) === '' && pictures[0]?.getAttribute('aria-label')?.replace(/\u202f/g, ' ')).toBe(
    'facial bone: at least 1.00 mm, 9 of 10 within 0.16 to 2.30 mm',
  )
  const hatched = pictures.map(
    (each) => (each.querySelector('.failing-hatch')?.getAttribute('d') ?? '') !== '',
  )
  expect(hatched).toEqual([true, true, true, false, false])
  expect(pictures.map((each) => each.querySelector('.limit') !== null)).toEqual([
    true,
    true,
    true,
    true,
    false,
  ])
  expect(pictures[4]?.querySelector('.beyond')).not.toBeNull()
})

test('where placements end up is told by halves and by 19 of 20', async () => {
  expect(all(await mounted(), '.ends tbody tr').map(text)).toEqual([
    'entry1.2 mm2.1 mm',
    'apex1.3 mm2.5 mm',
    'angle3.3°6.8°',
  ])
})

test('another error is asked for by its button and shown at once, with its source', async () => {
  const cloud = await mounted()
  const errors = follow(cloud)
  expect(button(cloud, 'guided').getAttribute('aria-pressed')).toBe('true')
  expect(text(inside(cloud, '.source'))).toContain('Tahmaseb 2018')
  button(cloud, 'freehand').click()
  await settled()
  expect(errors[0]).toMatchObject({ kind: 'freehand', tiltSdDeg: 6.94 })
  expect(button(cloud, 'freehand').getAttribute('aria-pressed')).toBe('true')
  expect(text(inside(cloud, '.source'))).toContain('Schnutenhaus 2021')
  cloud.cloud = madeUpFreehand()
  await settled()
  button(cloud, 'guided').click()
  expect(errors[1]).toEqual(guidedError())
})

test('own figures start from those shown, and are typed as means', async () => {
  const cloud = await mounted()
  const errors = follow(cloud)
  button(cloud, 'own figures').click()
  await settled()
  expect(errors[0]?.entrySdMm.facial).toBeCloseTo(1.2 / 1.5958, 3)
  const [entry, angle] = all(cloud, 'input')
  if (!(entry instanceof HTMLInputElement) || !(angle instanceof HTMLInputElement))
    throw new Error('no fields')
  expect([entry.value, angle.value]).toEqual(['1.20', '3.50'])
  entry.value = '0.5'
  entry.dispatchEvent(new Event('change'))
  await settled()
  expect(errors[1]).toMatchObject({ kind: 'own', correlation: 0 })
  expect(errors[1]?.entrySdMm.mesial).toBeCloseTo(0.5 / 1.5958, 4)
  expect(errors[1]?.tiltSdDeg).toBeCloseTo(3.5 / 1.2533, 3)
  angle.value = '-4'
  angle.dispatchEvent(new Event('change'))
  await settled()
  expect(errors[2]?.tiltSdDeg).toBe(0)
  expect(errors[2]?.entrySdMm.mesial).toBeCloseTo(0.5 / 1.5958, 4)
  angle.value = ''
  angle.dispatchEvent(new Event('change'))
  await settled()
  expect(errors).toHaveLength(3)
  expect(angle.value).toBe('0.00')
})

test('first, waiting and stale clouds say so; an error can be chosen before there is one', async () => {
  const cloud = await mounted({ cloud: madeUpCloud({ complete: false }), stale: true })
  expect(text(inside(cloud, '.title'))).toContain('first placements, more are drawn')
  expect(getComputedStyle(inside(cloud, '.measured')).opacity).not.toBe('1')
  cloud.cloud = null
  await settled()
  expect(text(inside(cloud, '[role=status]'))).toBe('not drawn yet')
  const errors = follow(cloud)
  button(cloud, 'freehand').click()
  expect(errors).toHaveLength(1)
})

for (const width of [690, 520, 370, 320])
  test(`at ${width} px nothing is wider than the element, and lettering has 11 pixels or more`, async () => {
    const cloud = await mounted({ cloud: madeUpFreehand() }, width)
    const end = cloud.getBoundingClientRect().right
    expect(cloud.scrollWidth).toBeLessThanOrEqual(width)
    for (const part of all(cloud, 'th, td, button, svg.histogram, p'))
      if (getComputedStyle(part).display !== 'none')
        expect(part.getBoundingClientRect().right, text(part)).toBeLessThanOrEqual(end + 0.5)
    for (const letters of all(cloud, 'th, td, span, button, p'))
      expect(Number.parseFloat(getComputedStyle(letters).fontSize)).toBeGreaterThanOrEqual(11)
  })

const view: View = {
  centre: [0, 1, 8],
  right: [0, 1, 0],
  down: [0, 0, -1],
  mmPerPixel: 0.1,
  width: 400,
  height: 400,
}
const drawn = (marks: unknown): Element => {
  const box = document.createElement('div')
  render(html`<svg>${marks}</svg>`, box)
  return box
}
const starts = (d: string): number => d.match(/M/g)?.length ?? 0
const pathOf = (box: Element, selector: string): string =>
  box.querySelector(selector)?.getAttribute('d') ?? ''

test('missAxes draws every placement once, from its channel to its apex, those that miss a limit apart', () => {
  const pose = { platform: [0, 1, 3], apical: [0, 0, 2], holds: true } as const
  const box = drawn(
    missAxes({ poses: [pose, { ...pose, platform: [0, 2, 3], holds: false }] }, view, {
      apicalMm: 10,
      coronalMm: 5,
    }),
  )
  expect(pathOf(box, '.holds')).toBe('M200.00,300.00L200.00,150.00')
  expect(pathOf(box, '.breaks')).toBe('M210.00,300.00L210.00,150.00')
  const cloud = madeUpCloud()
  const many = drawn(missAxes(cloud, view, { apicalMm: 10, coronalMm: 5 }))
  const held = cloud.poses.filter(({ holds }) => holds).length
  expect(starts(pathOf(many, '.holds'))).toBe(held)
  expect(starts(pathOf(many, '.breaks'))).toBe(cloud.poses.length - held)
  expect(
    drawn(svg`${missAxes({ poses: [] }, view, { apicalMm: 10, coronalMm: 5 })}`).querySelector('path'),
  ).toBeNull()
})

test('missDots marks where the axes pass through the plane: dots that hold, crosses that do not', () => {
  const across: View = { ...view, centre: [0, 1, 7], right: [1, 0, 0], down: [0, 1, 0] }
  // 4 mm deeper an axis that leans 1 in 4 lies 1 mm further.
  const pose = { platform: [0, 1, 3], apical: [1, 0, 4], holds: true } as const
  const box = drawn(missDots({ poses: [pose, { ...pose, apical: [0, 0, 1], holds: false }] }, across))
  expect(pathOf(box, '.holds')).toBe('M210.0,200.0h0.01')
  expect(pathOf(box, '.breaks')).toBe('M200.0,200.0m-2.2,-2.2l4.4,4.4m0,-4.4l-4.4,4.4')
})

for (const sheet of ['light', 'dark'])
  for (const width of [690, 340])
    for (const cloud of [madeUpCloud({ error: { ...guidedError(), kind: 'own' } }), madeUpFreehand(), null])
      test(`on the ${sheet} sheet at ${width} px ${cloud?.error.kind ?? 'nothing'} puts nothing in the way of anyone`, async () => {
        const element = await mounted({ cloud }, width)
        document.documentElement.style.colorScheme = sheet
        document.body.style.background = sheet === 'light' ? '#f7f6f2' : '#17181a'
        await settled()
        const { violations } = await axe.run(element)
        document.documentElement.style.colorScheme = ''
        document.body.style.background = ''
        expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map((n) => n.html).join()}`)).toEqual([])
      })
