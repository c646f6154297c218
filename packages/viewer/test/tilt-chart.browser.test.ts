import type { TiltChartSpec } from '@alveometer/core'
import axe from 'axe-core'
import { afterEach, beforeEach, expect, test } from 'vitest'
import { page } from 'vitest/browser'
import { type AlvTiltChart, type ChartMove, defineElements } from '../src/index.js'
import { mountedAt, settled } from './mounted.js'
import { madeUpChart, madeUpPose, madeUpSpec } from './tilt-chart-made-up.js'

defineElements()
beforeEach(() => page.viewport(900, 900))
afterEach(() => document.body.replaceChildren())

const mounted = (
  set: Partial<AlvTiltChart> = {},
  size: readonly [number, number] = [690, 560],
): Promise<AlvTiltChart> => mountedAt(size, 'alv-tilt-chart', { chart: madeUpChart(), ...set })

const all = (element: Element, selector: string): Element[] => [
  ...(element.shadowRoot?.querySelectorAll(selector) ?? []),
]
const inside = (element: Element, selector: string): HTMLElement => {
  const found = element.shadowRoot?.querySelector<HTMLElement>(selector)
  if (!found) throw new Error(`no ${selector}`)
  return found
}
const text = (element: Element): string => element.textContent?.replace(/\s+/g, ' ').trim() ?? ''
const told = (chart: AlvTiltChart): string => text(inside(chart, '[role=status]'))

/** What the chart tells, and a page that moves the plan as told. */
function follow(chart: AlvTiltChart): ChartMove[] {
  const moves: ChartMove[] = []
  chart.addEventListener('alv-chart-pose', ({ detail }) => {
    moves.push(detail)
    const { column, row } = detail
    if (chart.chart !== null) chart.chart = { ...chart.chart, present: { column, row } }
  })
  return moves
}

/** Where the middle of a cell lies on the screen. */
function middleOf(chart: AlvTiltChart, column: number, row: number): readonly [number, number] {
  const plot = inside(chart, '.plot')
  const box = plot.getBoundingClientRect()
  const x = (plot.clientWidth * (column + 30 + 0.5)) / 61
  const y = plot.clientHeight * (1 - (row + 15 + 0.5) / 31)
  return [box.x + plot.clientLeft + x, box.y + plot.clientTop + y]
}

const pointer = (target: Element, type: string, [x, y]: readonly [number, number]): boolean =>
  target.dispatchEvent(
    new PointerEvent(type, {
      pointerId: 1,
      clientX: x,
      clientY: y,
      bubbles: true,
      composed: true,
      button: 0,
    }),
  )

const press = (chart: AlvTiltChart, key: string, more: KeyboardEventInit = {}): boolean =>
  inside(chart, '.plot').dispatchEvent(
    new KeyboardEvent('keydown', { key, bubbles: true, composed: true, cancelable: true, ...more }),
  )

test('zones carry their names, contours their numbers', async () => {
  const chart = await mounted()
  const written = all(chart, 'text.note').map((note) => text(note))
  expect(written).toEqual(
    expect.arrayContaining(['exit palatal', 'exit incisal', 'exit facial', 'no exit', 'bend limit 25°']),
  )
  for (const name of ['bend 10°', 'bend 20°', 'bend 30°', '100 mm³', '200 mm³'])
    expect(written).toContain(name)
  expect(all(chart, '.wanted path')).not.toHaveLength(0)
  expect(all(chart, '[data-zone]').map((zone) => zone.getAttribute('data-zone'))).toEqual(
    expect.arrayContaining(['palatal', 'incisal', 'facial', 'none']),
  )
})

for (const width of [320, 370, 500, 690])
  for (const present of [
    { column: 8, row: 1 },
    { column: -12, row: -4 },
    { column: 13, row: 0 },
    { column: 41, row: 3 },
  ])
    test(`at ${width} px with the plan at ${present.column}, ${present.row} no lettering lies over other lettering or the plan`, async () => {
      const element = await mounted({ chart: madeUpChart({ present }) }, [width, 640])
      const plot = inside(element, '.plot').getBoundingClientRect()
      const notes = all(element, 'text.note').map((note) => ({
        name: text(note),
        box: note.getBoundingClientRect(),
      }))
      const marked = { name: 'plan', box: inside(element, '.present > path').getBoundingClientRect() }
      expect(notes.length).toBeGreaterThan(6)
      const over: string[] = []
      const boxes = [...notes, marked]
      boxes.forEach(({ name, box }, n) => {
        for (const other of boxes.slice(n + 1)) {
          const across = Math.min(box.right, other.box.right) - Math.max(box.left, other.box.left)
          const down = Math.min(box.bottom, other.box.bottom) - Math.max(box.top, other.box.top)
          // Letter boxes hold room above and below their letters: two pixels of it may be shared.
          if (across > 0 && down > 2) over.push(`${name} over ${other.name}`)
        }
      })
      expect(over).toEqual([])
      for (const { name, box } of notes) {
        expect(box.left, name).toBeGreaterThanOrEqual(plot.left - 1)
        expect(box.right, name).toBeLessThanOrEqual(plot.right + 1)
        expect(box.top, name).toBeGreaterThanOrEqual(plot.top - 1)
        expect(box.bottom, name).toBeLessThanOrEqual(plot.bottom + 1)
      }
    })

test('all lettering has 11 pixels or more, and nothing is wider than the element', async () => {
  const element = await mounted({}, [320, 640])
  for (const letters of all(element, 'text, button, p, span'))
    expect(Number.parseFloat(getComputedStyle(letters).fontSize)).toBeGreaterThanOrEqual(11)
  const end = element.getBoundingClientRect().right
  for (const part of all(element, 'button, .plot, .told > span, .key'))
    expect(part.getBoundingClientRect().right).toBeLessThanOrEqual(end + 0.5)
})

test('the cell under the pointer is read, with its interval; else the plan', async () => {
  const chart = await mounted()
  const plot = inside(chart, '.plot')
  expect(told(chart)).toContain('plan 8.0° facial, 1.0° mesial')
  pointer(plot, 'pointermove', middleOf(chart, 20, -7))
  await settled()
  const { nearestMm, offsetMm, correctionDeg } = madeUpPose(20, -7)
  expect(told(chart)).toContain('20.0° facial, 7.0° distal')
  expect(told(chart)).toContain(`nearest ${nearestMm?.toFixed(2)} ±0.20 mm`)
  expect(told(chart)).toContain(`exit facial, ${offsetMm?.toFixed(2)} mm facial of the edge`)
  expect(told(chart)).toContain(`bend ${correctionDeg?.toFixed(1)}°`)
  chart.view = 'reserve'
  await settled()
  expect(told(chart)).toContain(`reserve ${((nearestMm ?? 0) - 1).toFixed(2)} ±0.20 mm`)
  pointer(plot, 'pointermove', middleOf(chart, -30, 15))
  await settled()
  expect(told(chart)).toContain('no number')
  pointer(plot, 'pointerleave', [0, 0])
  await settled()
  expect(told(chart)).toContain('plan 8.0° facial')
})

test('a tap on a cell moves the plan there in one step', async () => {
  const chart = await mounted()
  const moves = follow(chart)
  const at = middleOf(chart, -5, 4)
  pointer(inside(chart, '.plot'), 'pointerdown', at)
  pointer(inside(chart, '.plot'), 'pointerup', at)
  expect(moves).toEqual([{ phase: 'step', column: -5, row: 4 }])
})

test('a pointer that goes over the picture while down reads and moves nothing', async () => {
  const chart = await mounted()
  const moves = follow(chart)
  const plot = inside(chart, '.plot')
  pointer(plot, 'pointerdown', middleOf(chart, -5, 4))
  pointer(plot, 'pointermove', middleOf(chart, -9, 4))
  pointer(plot, 'pointerup', middleOf(chart, -9, 4))
  await settled()
  expect(moves).toEqual([])
  expect(told(chart)).toContain('9.0° palatal')
})

test('the ring is dragged from begin to end, and Escape brings it back', async () => {
  const chart = await mounted()
  const moves = follow(chart)
  const plot = inside(chart, '.plot')
  plot.setPointerCapture = () => {}
  const drag = (): void => {
    const grip = inside(chart, '[data-handle=plan] .area')
    pointer(grip, 'pointerdown', middleOf(chart, 8, 1))
    pointer(plot, 'pointermove', middleOf(chart, 9, 1))
    pointer(plot, 'pointermove', middleOf(chart, 2, -3))
  }
  drag()
  pointer(plot, 'pointerup', middleOf(chart, 2, -3))
  expect(moves.map(({ phase }) => phase)).toEqual(['begin', 'move', 'move', 'end'])
  expect(moves[0]).toMatchObject({ column: 8, row: 1 })
  const last = moves[3]
  expect(Math.abs((last?.column ?? 0) - 2)).toBeLessThanOrEqual(0.11)
  expect(Math.abs((last?.row ?? 0) + 3)).toBeLessThanOrEqual(0.11)
  chart.chart = madeUpChart()
  await settled()
  moves.length = 0
  drag()
  press(chart, 'Escape')
  expect(moves[moves.length - 1]).toEqual({ phase: 'cancel', column: 8, row: 1 })
})

test('arrow keys move the plan by a cell, with Shift by five, one after the other', async () => {
  const chart = await mounted()
  const moves = follow(chart)
  press(chart, 'ArrowRight')
  press(chart, 'ArrowUp', { shiftKey: true })
  press(chart, 'ArrowLeft')
  expect(moves).toEqual([
    { phase: 'step', column: 9, row: 1 },
    { phase: 'step', column: 9, row: 6 },
    { phase: 'step', column: 8, row: 6 },
  ])
  expect(press(chart, 'Tab')).toBe(true)
  await settled()
  expect(told(chart)).toContain('plan 8.0° facial, 6.0° mesial')
})

test('a plan beyond the chart is shown by an arrow at the edge, without numbers', async () => {
  const chart = await mounted({ chart: madeUpChart({ present: { column: 41, row: 3 } }) })
  expect(text(inside(chart, '[data-mark=beyond]'))).toBe('plan 41° facial')
  expect(told(chart)).toBe('plan 41.0° facial, 3.0° mesial beyond the chart')
})

test('buttons ask for another chart and show at once what was asked for', async () => {
  const chart = await mounted()
  const asked: TiltChartSpec[] = []
  chart.addEventListener('alv-chart-spec', ({ detail }) => asked.push(detail))
  const button = (name: string): HTMLElement => {
    const found = all(chart, 'button').find((each) => text(each) === name)
    if (!(found instanceof HTMLElement)) throw new Error(`no ${name}`)
    return found
  }
  button('depth').click()
  await settled()
  expect(asked[0]).toMatchObject({ kind: 'depth', pivot: 'platform', columns: madeUpSpec.columns })
  expect(button('depth').getAttribute('aria-pressed')).toBe('true')
  button('apex').click()
  expect(asked[1]).toMatchObject({ kind: 'depth', pivot: 'apex' })
  const [, spec] = asked
  if (spec === undefined) throw new Error('nothing asked')
  chart.chart = madeUpChart({ spec, present: { column: 8, row: 0.4 } })
  await settled()
  expect(told(chart)).toContain('plan 8.0° facial, moved 0.40 mm apical')
  expect(text(inside(chart, 'svg.rows'))).toMatch(/coronal →.*← apical/)
})

test('sides are named by the tooth, and the wanted zone of a molar is its table', async () => {
  const exit = madeUpChart().exit.map((kind) =>
    kind === 'incisal' ? 'occlusal' : kind === 'palatal' ? 'lingual' : kind,
  )
  const chart = await mounted({ chart: madeUpChart({ tooth: '36', exit }) })
  expect(text(inside(chart, 'svg.columns'))).toMatch(/← lingual.*facial →/)
  expect(all(chart, 'text.note').map(text)).toContain('exit occlusal')
  expect(told(chart)).toContain('of the groove')
  expect(told(chart)).not.toContain('exit lingual')
  expect(all(chart, '.told .below').map(text).join()).not.toContain('exit')
})

test('coarse and stale charts say so', async () => {
  const chart = await mounted({ chart: madeUpChart({ coarseness: 4 }), stale: true })
  expect(text(inside(chart, '.title'))).toContain('coarse')
  expect(getComputedStyle(inside(chart, '.told')).opacity).not.toBe('1')
  chart.chart = null
  await settled()
  expect(text(inside(chart, '.plot'))).toBe('not measured yet')
})

for (const sheet of ['light', 'dark'])
  for (const chart of [madeUpChart(), null])
    test(`on the ${sheet} sheet ${chart === null ? 'an empty chart' : 'the chart'} puts nothing in the way of anyone`, async () => {
      const element = await mounted({ chart })
      document.documentElement.style.colorScheme = sheet
      document.body.style.background = sheet === 'light' ? '#f7f6f2' : '#17181a'
      await settled()
      const { violations } = await axe.run(element)
      document.documentElement.style.colorScheme = ''
      document.body.style.background = ''
      expect(violations.map(({ id, nodes }) => `${id}: ${nodes.map((n) => n.html).join()}`)).toEqual([])
    })
