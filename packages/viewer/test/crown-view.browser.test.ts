import {
  accessChannel,
  accessExit,
  angledChannel,
  column,
  fromFrame,
  invert,
  type Plan,
  placedCrown,
  toRows,
  transformPoint,
  type Vec3,
} from '@alveometer/core'
import axe from 'axe-core'
import { afterEach, expect, test } from 'vitest'
import { type AlvCrownView, type AlvEvents, defineElements, PlanSession } from '../src/index.js'
import { mountedAt, settled } from './mounted.js'
import { uprightPlan } from './plan.js'

defineElements()
afterEach(() => document.body.replaceChildren())

/** The fixture under the edge, leaning: its channel leaves through the incisal edge. */
const leaning: Plan = {
  ...uprightPlan,
  fixture: { ...uprightPlan.fixture, platform: [0, 0, 3], apical: [0, 0.05, 1] },
}

const accessOf = (plan: Plan) => {
  const { fixture, site } = plan
  const placed = placedCrown(plan, undefined)
  const question = { ...placed, fixture, site }
  return {
    plan,
    placed,
    exit: accessExit(question),
    channel: accessChannel(question),
    angled: angledChannel(question),
  }
}

const mounted = (set: Partial<AlvCrownView> = {}, size: readonly [number, number] = [640, 520]) =>
  mountedAt(size, 'alv-crown-view', { ...accessOf(leaning), ...set })

const text = (element: Element): string => element.shadowRoot?.textContent?.replace(/\s+/g, ' ') ?? ''
const inside = (element: Element, selector: string): HTMLElement => {
  const found = element.shadowRoot?.querySelector<HTMLElement>(selector)
  if (!found) throw new Error(`no ${selector}`)
  return found
}

/** Connects the drawing with a session as a page does. */
function follow(view: AlvCrownView, plan: Plan = leaning): { session: PlanSession; phases: string[] } {
  const session = new PlanSession(plan)
  const phases: string[] = []
  view.addEventListener('alv-plan', (event: AlvEvents['alv-plan']) => {
    const { phase } = event.detail
    phases.push(phase)
    if (phase === 'begin') session.begin()
    else if (phase === 'end') session.commit()
    else if (phase === 'cancel') session.cancel()
    else session.update(event.detail.plan)
  })
  session.addEventListener('plan-change', () => Object.assign(view, accessOf(session.plan)))
  return { session, phases }
}

const press = (element: Element, key: string, more: KeyboardEventInit = {}): boolean =>
  element.dispatchEvent(
    new KeyboardEvent('keydown', { key, bubbles: true, composed: true, cancelable: true, ...more }),
  )

const pose = (plan: Plan, c: 0 | 1 | 2 | 3): Vec3 => column(placedCrown(plan, undefined).pose, c)

/** Drags a handle by pixels, from its mark's middle. */
function drag(view: AlvCrownView, handle: string, steps: readonly (readonly [number, number])[]): void {
  const grip = inside(view, `[data-handle=${handle}]`)
  grip.setPointerCapture = () => {}
  const box = inside(view, `[data-handle=${handle}] .mark`).getBoundingClientRect()
  const [x, y] = [box.x + box.width / 2, box.y + box.height / 2]
  const at = (type: string, dx: number, dy: number): boolean =>
    grip.dispatchEvent(
      new PointerEvent(type, {
        pointerId: 1,
        clientX: x + dx,
        clientY: y + dy,
        bubbles: true,
        composed: true,
        button: 0,
      }),
    )
  at('pointerdown', 0, 0)
  for (const [dx, dy] of steps) at('pointermove', dx, dy)
  const [dx, dy] = steps[steps.length - 1]
  at('pointerup', dx, dy)
}

test('the exit is dimensioned from the edge, with its wall, bend and reach', async () => {
  const view = await mounted()
  const { exit, channel, angled } = accessOf(leaning)
  const drawn = text(view)
  expect(exit.class).toBe('incisal')
  const shown = (value: number | null | undefined, digits = 2) =>
    (value ?? Number.NaN).toFixed(digits).replace('-', '\u2212')
  expect(drawn).toContain(shown(Math.abs(exit.offsetMm ?? Number.NaN)))
  expect(drawn).toContain(`wall ${shown(channel.wall?.mm)}`)
  expect(drawn).toContain(`bend ${shown(angled.least?.correctionDeg, 1)}\u00b0`)
  expect(drawn).toContain('25\u00b0 reach')
  expect(drawn).toContain('facial \u00b7 A')
  expect(drawn).toContain('mesial \u00b7 L')
})

test('the drawn outline lies where the channel leaves the crown', async () => {
  const view = await mounted()
  const { channel } = accessOf(leaning)
  const seen = view.view
  if (seen === null || channel.outline === null) throw new Error('nothing drawn')
  const rim = inside(view, 'path.hatching').getAttribute('d') ?? ''
  const points = [...rim.matchAll(/(-?[\d.]+),(-?[\d.]+)/g)].map((m) => [Number(m[1]), Number(m[2])] as const)
  expect(points.length).toBe(channel.outline.length)
  // Seen along z: at its own height each point lies the radius off the axis, which leans by 0.05 (the circle is an
  // ellipse there, longer by 0.13 %). On the drawing the patient's left (+x) is right, posterior (+y) down.
  points.forEach(([px, py], n) => {
    const z = channel.outline?.[n]?.[2] ?? Number.NaN
    const x = (px - seen.width / 2) * seen.mmPerPixel + seen.centre[0]
    const y = (py - seen.height / 2) * seen.mmPerPixel + seen.centre[1]
    expect(Math.abs(Math.hypot(x, y - 0.05 * (z - 3)) - 1.15)).toBeLessThan(0.005)
  })
})

test('an exit on the facial side and a wall below its limit are marked', async () => {
  const view = await mounted()
  const { channel, exit } = accessOf(leaning)
  const marked = async (wallMm: number, kind: typeof exit.class): Promise<boolean> => {
    view.channel = { ...channel, wall: channel.wall === null ? null : { ...channel.wall, mm: wallMm } }
    view.exit = { ...exit, class: kind }
    await settled()
    expect(text(view)).toContain(`wall ${wallMm.toFixed(2)}`)
    return view.shadowRoot?.querySelector('path.out.below') !== null
  }
  // 0.8 mm when the plan says nothing else.
  expect(await marked(0.79, 'palatal')).toBe(true)
  expect(await marked(0.81, 'palatal')).toBe(false)
  expect(await marked(0.81, 'facial')).toBe(true)
  view.plan = { ...leaning, limits: { leastWallMm: 1 } }
  expect(await marked(0.81, 'palatal')).toBe(true)
})

test('arrow keys move the crown by 0.1 mm on the drawing', async () => {
  const view = await mounted()
  const { session } = follow(view)
  const stage = inside(view, '.stage')
  press(stage, 'ArrowUp')
  // Up is facial, here anterior: -y.
  expect(pose(session.plan, 3)[1]).toBeCloseTo(-0.1, 9)
  press(stage, 'ArrowRight')
  expect(pose(session.plan, 3)[0]).toBeCloseTo(0.1, 9)
  view.side = 'facial'
  await settled()
  press(stage, 'ArrowUp')
  expect(pose(session.plan, 3)[2]).toBeCloseTo(0.1, 9)
  session.undo()
  session.undo()
  session.undo()
  expect(session.plan).toBe(leaning)
})

test('Shift and an arrow turns towards the arrow by half a degree', async () => {
  const view = await mounted()
  const { session } = follow(view)
  const halfDegree = Math.sin(Math.PI / 360)
  press(inside(view, '.stage'), 'ArrowRight', { shiftKey: true })
  // The facial face, above, went to the right: the patient's left.
  expect(pose(session.plan, 0)[0]).toBeCloseTo(halfDegree, 9)
  session.undo()
  for (const [side, sign] of [
    ['facial', 1],
    ['oral', -1],
  ] as const) {
    view.side = side
    await settled()
    press(inside(view, '.stage'), 'ArrowRight', { shiftKey: true })
    // The edge (coronal, -z of the crown) went to the right of the drawing.
    expect(pose(session.plan, 2)[0]).toBeCloseTo(-sign * halfDegree, 9)
    session.undo()
    await settled()
  }
})

test('a drag of the diamond moves the crown in the plane of the drawing, in one step', async () => {
  const view = await mounted()
  const { session, phases } = follow(view)
  const seen = view.view
  if (seen === null) throw new Error('no view')
  drag(view, 'crown', [
    [5, 0],
    [20, -10],
    [40, -30],
  ])
  const [x, y, z] = pose(session.plan, 3)
  expect(x).toBeCloseTo(40 * seen.mmPerPixel, 9)
  expect(y).toBeCloseTo(-30 * seen.mmPerPixel, 9)
  expect(z).toBeCloseTo(0, 9)
  expect(phases).toEqual(['begin', 'move', 'move', 'move', 'end'])
  session.undo()
  expect(session.plan).toBe(leaning)
})

test('the drawing stands still while its crown is dragged, and follows it afterwards', async () => {
  const view = await mounted()
  follow(view)
  const before = view.view
  const grip = inside(view, '[data-handle=crown]')
  grip.setPointerCapture = () => {}
  const at = (type: string, x: number) =>
    grip.dispatchEvent(
      new PointerEvent(type, {
        pointerId: 1,
        clientX: x,
        clientY: 200,
        bubbles: true,
        composed: true,
        button: 0,
      }),
    )
  at('pointerdown', 300)
  at('pointermove', 350)
  await settled()
  expect(view.view?.centre).toEqual(before?.centre)
  at('pointerup', 350)
  await settled()
  expect((view.view?.centre[0] ?? 0) - (before?.centre[0] ?? 0)).toBeCloseTo(
    50 * (before?.mmPerPixel ?? 0),
    6,
  )
})

/** Teeth of all quadrants upright at the origin; the handle's way round is the crown's. */
const sites = [
  ['11', [0, -1, 0], -1],
  ['21', [0, -1, 0], -1],
  ['16', [-1, 0, 0], -1],
  ['26', [1, 0, 0], -1],
  ['31', [0, -1, 0], 1],
  ['36', [1, 0, 0], 1],
  ['43', [0, -1, 0], 1],
  ['46', [-1, 0, 0], 1],
] as const

for (const [tooth, facial, coronalZ] of sites)
  for (const side of ['occlusal', 'oral', 'facial'] as const)
    test(`tooth ${tooth} from ${side}: the turning handle takes the crown along by the same angle`, async () => {
      const apical: Vec3 = [0, 0, -coronalZ]
      const y: Vec3 = [-apical[2] * facial[1], apical[2] * facial[0], 0]
      const plan: Plan = {
        ...uprightPlan,
        site: { tooth, facial, coronal: [0, 0, coronalZ] },
        crown: { kind: 'tabulated', tooth, pose: toRows(fromFrame(facial, y, apical, [0, 0, 0])) },
        fixture: { ...uprightPlan.fixture, platform: [0, 0, -3 * coronalZ], apical },
      }
      const view = await mounted({ ...accessOf(plan), side })
      const { session } = follow(view, plan)
      const seen = view.view
      if (seen === null) throw new Error('no view')
      const onScreen = (p: Vec3): [number, number] => {
        const d = p.map((v, n) => v - seen.centre[n])
        const on = (axis: Vec3) => d[0] * axis[0] + d[1] * axis[1] + d[2] * axis[2]
        return [on(seen.right) / seen.mmPerPixel, on(seen.down) / seen.mmPerPixel]
      }
      const handle = inside(view, '[data-handle=turn] .mark').getBoundingClientRect()
      const box = inside(view, '.stage').getBoundingClientRect()
      const [cx, cy] = onScreen([0, 0, 0])
      const from = [
        handle.x + handle.width / 2 - box.x - seen.width / 2 - cx,
        handle.y + handle.height / 2 - box.y - seen.height / 2 - cy,
      ]
      // Ten degrees clockwise on the screen.
      const [c, s] = [Math.cos(Math.PI / 18), Math.sin(Math.PI / 18)]
      const to = [from[0] * c - from[1] * s, from[0] * s + from[1] * c]
      drag(view, 'turn', [[to[0] - from[0], to[1] - from[1]]])
      // A point of the crown off its centre goes round with the hand.
      const moved = placedCrown(session.plan, undefined).pose
      const still = placedCrown(plan, undefined).pose
      const point: Vec3 = side === 'occlusal' ? [2, 1, 0] : [0, 1, -4]
      const [ax, ay] = onScreen(transformPoint(still, point))
      const [bx, by] = onScreen(transformPoint(moved, point))
      const angle = (Math.atan2(by - cy, bx - cx) - Math.atan2(ay - cy, ax - cx)) * (180 / Math.PI)
      // The stage's border of a pixel shifts the measured handle against the drawing's own pixels.
      expect(((((angle + 180) % 360) + 360) % 360) - 180).toBeCloseTo(10, 0)
    })

test('with a landmark asked for, a click tells the place on the surface and moves nothing', async () => {
  const view = await mounted({ marking: 'mesialContact' })
  const { session } = follow(view)
  const told: AlvEvents['alv-crown-mark']['detail'][] = []
  view.addEventListener('alv-crown-mark', (event) => told.push(event.detail))
  const seen = view.view
  if (seen === null) throw new Error('no view')
  const box = inside(view, '.stage').getBoundingClientRect()
  const stage = inside(view, '.stage')
  const click = (dx: number, dy: number) =>
    stage.dispatchEvent(
      new MouseEvent('click', {
        clientX: box.x + seen.width / 2 + dx,
        clientY: box.y + seen.height / 2 + dy,
        bubbles: true,
        composed: true,
      }),
    )
  click(60, -20)
  click(0, -255)
  expect(told.length).toBe(1)
  expect(told[0].mark).toBe('mesialContact')
  const { crown, pose: crownPose } = accessOf(leaning).placed
  const [x, y, z] = transformPoint(invert(crownPose), told[0].at)
  // On the crown: inside its box, on its coronal side; under the pointer: right is +y, up is +x of the crown.
  expect(z).toBeLessThan(-1)
  expect(z).toBeGreaterThan(-crown.lengthMm - 1e-6)
  const [dx, dy] = [told[0].at[0] - seen.centre[0], told[0].at[1] - seen.centre[1]]
  expect(Math.abs(dx - 60 * seen.mmPerPixel)).toBeLessThan(2 * seen.mmPerPixel)
  expect(Math.abs(dy + 20 * seen.mmPerPixel)).toBeLessThan(2 * seen.mmPerPixel)
  expect(Math.hypot(x, y)).toBeLessThan(5)
  expect(text(view)).toContain('mesial contact')
  drag(view, 'crown', [[30, 0]])
  expect(session.plan).toBe(leaning)
})

test('the buttons look from another side, and the crown is drawn from there', async () => {
  const view = await mounted()
  const buttons = [...(view.shadowRoot?.querySelectorAll<HTMLButtonElement>('.tools button') ?? [])]
  expect(buttons.map((b) => b.textContent)).toEqual(['incisal', 'palatal', 'facial'])
  const canvas = inside(view, 'canvas') as HTMLCanvasElement
  const before = canvas.height / canvas.width
  buttons[2].click()
  await settled()
  expect(view.side).toBe('facial')
  expect(buttons[2].getAttribute('aria-pressed')).toBe('true')
  // 8.5 x 7.0 mm from the edge, 8.5 x 10.5 mm from the face (Nelson and Ash).
  expect(before).toBeCloseTo(7 / 8.5, 1)
  expect(canvas.height / canvas.width).toBeCloseTo(10.5 / 8.5, 1)
})

test('nothing known but the crown is drawn without a number', async () => {
  const view = await mounted({ exit: null, channel: null, angled: null })
  expect(text(view)).not.toMatch(/wall|reach|bend/)
  view.placed = null
  await settled()
  expect(view.view).toBeNull()
})

for (const width of [280, 700])
  test(`at ${width} pixels every lettering stays on the sheet`, async () => {
    const view = await mounted({}, [width, 420])
    const box = inside(view, '.stage').getBoundingClientRect()
    for (const note of view.shadowRoot?.querySelectorAll('text') ?? []) {
      const at = note.getBoundingClientRect()
      expect(at.left, note.textContent ?? '').toBeGreaterThanOrEqual(box.left)
      expect(at.right, note.textContent ?? '').toBeLessThanOrEqual(box.right)
      expect(at.top, note.textContent ?? '').toBeGreaterThanOrEqual(box.top)
      expect(at.bottom, note.textContent ?? '').toBeLessThanOrEqual(box.bottom)
    }
  })

test('it puts nothing in the way of anyone', async () => {
  const view = await mounted()
  const { violations } = await axe.run(view)
  const barriers = violations.filter((v) => v.impact === 'serious' || v.impact === 'critical')
  expect(barriers.map((v) => v.id)).toEqual([])
})
