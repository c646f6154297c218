import { placedCrown } from '@alveometer/core'
import axe from 'axe-core'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { page } from 'vitest/browser'
import { wayPlanes } from '../src/decision/way-planes.js'
import { type AlvEvents, defineElements } from '../src/index.js'
import { AlvWayPicture, type AlvWaysOut } from '../src/ways-out/index.js'
import { mountedAt, settled } from './mounted.js'
import { uprightPlan } from './plan.js'
import { held, madeUpPicture, madeUpSizes, madeUpWays } from './ways-out-made-up.js'

defineElements()
beforeEach(async () => {
  document.documentElement.lang = 'en'
  document.title = 'Alveometer'
  await page.viewport(900, 1200)
})
afterEach(() => document.body.replaceChildren())

const placed = placedCrown(uprightPlan, undefined)
const planes = wayPlanes(uprightPlan, madeUpWays())

const mounted = (set: Partial<AlvWaysOut> = {}, width = 690): Promise<AlvWaysOut> =>
  mountedAt([width, 1000], 'alv-ways-out', { result: madeUpWays(), plan: uprightPlan, placed, ...set })

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

/** The cells of a row, by its heading: the plan first, then the four ways. */
function row(element: Element, name: string): string[] {
  const found = all(element, 'tbody tr').find((tr) =>
    text(tr.querySelector('th') ?? undefined).startsWith(name),
  )
  if (found === undefined) throw new Error(`no row ${name}`)
  return [...found.querySelectorAll('td')].map(text)
}

test('the four ways stand beside the plan, each with its own numbers', async () => {
  const ways = await mounted()
  expect(all(ways, 'thead th').map(text)).toEqual([
    'Present plan',
    'Straight screw no graft none',
    'Straight screw with graft exists',
    'Angled screw no graft exists',
    'Cemented no graft exists',
  ])
  expect(row(ways, 'costs')).toEqual([
    'as planned',
    '0.69 mm facial bone short',
    '163 mm³ of graft, 0.16 cc',
    '14.2° of bend',
    '0.22 mm of bone to spare',
  ])
  expect(row(ways, 'nearest bone').map((cell) => cell.slice(0, 10))).toEqual([
    '0.60 ±0.20',
    '0.29 ±0.20',
    '0.35 ±0.20',
    '1.10 ±0.20',
    '1.21 ±0.20',
  ])
  expect(row(ways, 'straight exit')[0]).toBe('incisal edge 0.34 mm palatal of the edge')
  expect(row(ways, 'straight exit')[3]).toBe('facial 1.66 mm facial of the edge')
  expect(row(ways, 'bend')).toEqual(['7.8° needed', 'none', 'none', '14.2°', '–'])
  expect(row(ways, 'tilt')[3]).toBe('12.4° facial 1.2° distal')
})

test('what is below its limit carries a mark besides its colour, what the way is not held to carries none', async () => {
  const ways = await mounted()
  const low = all(ways, 'tbody .low').map(text)
  expect(low).toContain('0.62 ±0.20')
  expect(low).not.toContain('1.10 ±0.20')
  expect(low).toContain('incisal edge')
  expect(low).not.toContain('facial')
  for (const each of all(ways, 'tbody .low')) expect(getComputedStyle(each, '::after').content).toContain('▾')
  const strict = await mounted({ plan: { ...uprightPlan, limits: { facialMarginMm: 1.15 } } })
  expect(
    all(strict, 'tbody .low')
      .map(text)
      .filter((cell) => cell === '1.10 ±0.20'),
  ).toHaveLength(1)
})

test('a way that does not exist says which limits cannot be kept together, and by how much; it cannot be adopted', async () => {
  const ways = await mounted()
  expect(row(ways, 'held back by')[1]).toBe('facial bone 0.69 mm short exit behind the edge at its limit')
  expect(row(ways, 'held back by')[3]).toBe('facial bone palatal bone')
  expect(all(ways, 'button.adopt').map((button) => button.getAttribute('aria-label'))).toEqual([
    'Adopt Straight screw, with graft',
    'Adopt Angled screw, no graft',
    'Adopt Cemented, no graft',
  ])
  expect(text(inside(ways, '.told .missing dd'))).toMatch(/^A straight channel that leaves behind the edge/)
})

test('a way that keeps its limits with too little in hand barely exists, and can be adopted', async () => {
  const base = madeUpWays()
  const ways = base.ways.map((found) => ({
    ...found,
    exists: false,
    held: found.held.map((limit) => ({ ...limit, reserve: 0.03 })),
    conflict: found.conflict.map((limit) => ({ ...limit, reserve: 0.03 })),
  }))
  const element = await mounted({ result: { ...base, ways } })
  expect(all(element, 'thead th').map(text).slice(1)).toEqual([
    'Straight screw no graft barely',
    'Straight screw with graft barely',
    'Angled screw no graft barely',
    'Cemented no graft barely',
  ])
  expect(all(element, 'button.adopt')).toHaveLength(4)
})

test('none of the four exists: nothing can be adopted, and the worst of each is told', async () => {
  const conflict = [
    held('platformDepthGreatestMm', '', 4.8, 4, -0.8),
    held('correctionDeg', '', 38.2, 25, -13.2),
    held('edgeBandMm', '', -1.1, -1.5, -0.4),
  ]
  const base = madeUpWays()
  const ways = await mounted({
    result: { ...base, ways: base.ways.map((w) => ({ ...w, exists: false, conflict })) },
  })
  expect(all(ways, 'button.adopt')).toHaveLength(0)
  expect(all(ways, 'thead .verdict').map(text)).toEqual(['none', 'none', 'none', 'none'])
  // 13.2 degrees at 5 degrees to the millimetre are more than 0.8 mm.
  expect(row(ways, 'costs')[4]).toBe('13.2° bend over')
  expect(row(ways, 'held back by')[1]).toBe(
    'platform not too deep 0.80 mm over bend 13.2° over exit behind the edge 0.40 mm too far facial',
  )
})

test('Adopt tells the way with its placement, Back wants the plan before', async () => {
  const ways = await mounted()
  const told: AlvEvents['alv-adopt-way']['detail'][] = []
  let back = 0
  ways.addEventListener('alv-adopt-way', ({ detail }) => told.push(detail))
  ways.addEventListener('alv-adopt-back', () => back++)
  for (const button of all(ways, 'button.adopt')) if (button instanceof HTMLElement) button.click()
  const { pose, shape } = madeUpWays().ways[2] ?? {}
  expect(told.map(({ way }) => way)).toEqual(['straight-graft', 'angled', 'cemented'])
  expect(told[1]).toEqual({ way: 'angled', pose, shape })
  ways.adopted = 'angled'
  await settled()
  expect(row(ways, 'take it over')).toEqual(['', '–', 'Adopt', 'adopted Back', 'Adopt'])
  inside(ways, '.taken + button').click()
  expect(back).toBe(1)
})

test('each way has a picture of its own place, with its own channel', async () => {
  const images = Object.fromEntries(Object.entries(planes).map(([way, plane]) => [way, madeUpPicture(plane)]))
  const ways = await mounted({ planes, images })
  const pictures = all(ways, 'alv-way-picture')
  expect(pictures.map((picture) => inside(picture, 'svg[role=img]').getAttribute('aria-label'))).toEqual([
    'Section of the plan',
    'Section: Straight screw, no graft',
    'Section: Straight screw, with graft',
    'Section: Angled screw, no graft',
    'Section: Cemented, no graft',
  ])
  const drawn = pictures.map((picture) => inside(picture, 'svg[role=img]').innerHTML)
  expect(new Set(drawn).size).toBe(5)
  expect(drawn.map((each) => each.includes('in-crown'))).toEqual([false, false, false, true, false])
  expect(drawn.map((each) => each.includes('beside-bore'))).toEqual([true, true, true, false, false])
  for (const picture of pictures) {
    const { width, height } = picture.getBoundingClientRect()
    expect(height / width).toBeCloseTo(300 / 180, 1)
    const canvas = inside(picture, 'canvas')
    expect(canvas instanceof HTMLCanvasElement && canvas.width).toBe(180)
  }
})

test('the bent channel of the angled way leaves its picture of the crown by the bend told', async () => {
  const ways = await mounted()
  const picture = all(ways, 'alv-way-picture')[3]
  if (picture === undefined) throw new Error('no picture')
  const [fixture, bent] = all(picture, 'path.centre:not(.cas)').map((line) => {
    const [x1 = 0, y1 = 0, x2 = 0, y2 = 0] =
      (line.getAttribute('d') ?? '').match(/-?[\d.]+/g)?.map(Number) ?? []
    return Math.atan2(y2 - y1, x2 - x1)
  })
  const between = (((bent ?? 0) - (fixture ?? 0) + Math.PI) * 180) / Math.PI
  expect(Math.abs(((between + 540) % 360) - 180)).toBeCloseTo(14.2, 0)
})

test('pictures stay as they are while the fixture on the table is dragged, and follow the crown', async () => {
  const ways = await mounted()
  const picture = all(ways, 'alv-way-picture')[1]
  const before = picture instanceof AlvWayPicture ? picture.plan : null
  expect(before?.fixture.platform).toEqual(madeUpWays().ways[0]?.pose.platform)
  ways.plan = { ...uprightPlan, fixture: { ...uprightPlan.fixture, platform: [0, 1.4, 3] } }
  await settled()
  expect(picture instanceof AlvWayPicture && picture.plan).toBe(before)
  ways.plan = { ...uprightPlan, crown: { ...uprightPlan.crown } }
  await settled()
  expect(picture instanceof AlvWayPicture && picture.plan).not.toBe(before)
})

test('sizes are told where several were searched', async () => {
  expect(all(await mounted(), 'tbody th').map(text)).not.toContain('size mm')
  document.body.replaceChildren()
  expect(row(await mounted({ result: madeUpSizes() }), 'size')).toEqual([
    '4 × 10',
    '4 × 10',
    '4 × 10',
    '3.5 × 9',
    '4 × 10',
  ])
})

test('first answers, waiting and stale ones say so', async () => {
  const ways = await mounted({ result: madeUpWays({ complete: false }), stale: true })
  expect(text(inside(ways, '[role=status]'))).toBe('first answer, still searching')
  expect(getComputedStyle(inside(ways, '.strip')).opacity).not.toBe('1')
  ways.result = null
  await settled()
  expect(text(inside(ways, '[role=status]'))).toBe('not searched yet')
  ways.busy = true
  await settled()
  expect(text(inside(ways, '[role=status]'))).toBe('being searched')
})

test('a plan that has moved on is told from the one that was searched from', async () => {
  const moved = { ...uprightPlan, fixture: { ...uprightPlan.fixture, platform: [0, 1.4, 3] as const } }
  expect(text(all(await mounted({ plan: moved }), 'thead th')[0])).toBe('Plan before')
})

test('a molar is told of by its groove and its table', async () => {
  const base = madeUpWays()
  const result = {
    ...base,
    tooth: '36',
    ways: base.ways.map((found) => ({
      ...found,
      exists: false,
      measures: { ...found.measures, class: 'occlusal' as const },
      conflict: [held('edgeBandMm', '', -0.3, 0, -0.3)],
    })),
  }
  const ways = await mounted({ result })
  expect(row(ways, 'straight exit')[1]).toBe('occlusal 1.52 mm lingual of the groove')
  expect(row(ways, 'held back by')[1]).toBe('exit within the table 0.30 mm outside')
})

for (const width of [690, 520, 370, 320])
  test(`at ${width} px nothing is wider than the element, and lettering has 11 pixels or more`, async () => {
    const ways = await mounted({ result: madeUpSizes() }, width)
    const strip = inside(ways, '.strip')
    const end = ways.getBoundingClientRect().right
    expect(strip.getBoundingClientRect().right).toBeLessThanOrEqual(end + 0.5)
    expect(ways.scrollWidth).toBeLessThanOrEqual(width)
    expect(getComputedStyle(inside(ways, '.glance')).display).toBe(width < 560 ? 'block' : 'none')
    expect(strip.scrollWidth > strip.clientWidth).toBe(width < 560)
    for (const letters of all(ways, 'th, td, span, dd, button, p'))
      expect(Number.parseFloat(getComputedStyle(letters).fontSize)).toBeGreaterThanOrEqual(11)
    for (const cell of all(ways, 'tbody td, thead th'))
      expect(cell.scrollWidth, text(cell)).toBeLessThanOrEqual(cell.clientWidth + 1)
  })

test('on a narrow screen a tap on a way brings its column into view, beside the row headings', async () => {
  const ways = await mounted({}, 370)
  const button = all(ways, '.glance button')[2]
  expect(text(button)).toBe('Angled screw, no graft exists 14.2° of bend')
  if (button instanceof HTMLElement) button.click()
  await settled()
  const heading = inside(ways, 'th[id=angled]').getBoundingClientRect()
  const first = inside(ways, 'tbody th').getBoundingClientRect()
  expect(heading.left).toBeGreaterThanOrEqual(first.right - 2)
  expect(heading.right).toBeLessThanOrEqual(ways.getBoundingClientRect().right)
  expect(first.left).toBeCloseTo(ways.getBoundingClientRect().left, 0)
})

for (const sheet of ['light', 'dark'])
  for (const width of [690, 340])
    for (const set of [{}, { adopted: 'angled' as const, result: madeUpSizes() }, { result: null }])
      test(`on the ${sheet} sheet at ${width} px ${Object.keys(set).join() || 'a result'} puts nothing in the way of anyone`, async () => {
        const element = await mounted(set, width)
        document.documentElement.style.colorScheme = sheet
        document.body.style.background = sheet === 'light' ? '#f7f6f2' : '#17181a'
        await settled()
        const { violations } = await axe.run(element)
        document.documentElement.style.colorScheme = ''
        document.body.style.background = ''
        expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map((n) => n.html).join()}`)).toEqual([])
      })
