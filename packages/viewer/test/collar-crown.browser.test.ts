import {
  axisPoint,
  crownSection,
  dot,
  fixtureFrame,
  fromRows,
  type Plan,
  placedCrown,
  subtract,
  type Vec3,
} from '@alveometer/core'
import { afterEach, expect, test } from 'vitest'
import { type AlvEvents, defineElements, PlanSession } from '../src/index.js'
import { crownOrigin, siteFrame } from '../src/session/index.js'
import { madeUpAssessment } from './assessment.js'
import { mountedAt } from './mounted.js'
import { uprightPlan } from './plan.js'

defineElements()
afterEach(() => document.body.replaceChildren())

/** On a slice this far above the platform the crown is cut. */
const DEPTH_MM = -5

const outlineOf = (plan: Plan): readonly (readonly Vec3[])[] => {
  const { crown, pose } = placedCrown(plan)
  const frame = fixtureFrame(plan.fixture, plan.site.facial)
  const plane = { origin: axisPoint(frame, DEPTH_MM), normal: frame.z }
  return crownSection(crown, pose, plane).map((line) => line.points)
}

async function raisedCollar() {
  const collar = await mountedAt([640, 640], 'alv-collar', {
    plan: uprightPlan,
    assessment: madeUpAssessment,
    collarDepthMm: DEPTH_MM,
    outline: outlineOf(uprightPlan),
  })
  const session = new PlanSession(uprightPlan)
  collar.addEventListener('alv-plan', ({ detail: { phase, plan } }: AlvEvents['alv-plan']) => {
    if (phase === 'begin') session.begin()
    else if (phase === 'end') session.commit()
    else session.update(plan)
  })
  session.addEventListener('plan-change', () => {
    collar.plan = session.plan
  })
  const grip = (handle: string): SVGElement => {
    const found = collar.shadowRoot?.querySelector<SVGElement>(`[data-handle=${handle}]`)
    if (!found) throw new Error(`no handle ${handle}`)
    return found
  }
  const drag = (handle: string, [x, y]: readonly [number, number], [dx, dy]: readonly [number, number]) => {
    const element = grip(handle)
    element.setPointerCapture = () => {}
    const at = (type: string, clientX: number, clientY: number): boolean =>
      element.dispatchEvent(
        new PointerEvent(type, { pointerId: 1, clientX, clientY, bubbles: true, composed: true, button: 0 }),
      )
    at('pointerdown', x, y)
    at('pointermove', x + dx, y + dy)
    at('pointerup', x + dx, y + dy)
  }
  const middleOf = (handle: string): readonly [number, number] => {
    const box = grip(handle).querySelector('.mark')?.getBoundingClientRect()
    if (!box) throw new Error(`${handle} has no mark`)
    return [box.x + box.width / 2, box.y + box.height / 2]
  }
  return { collar, session, drag, middleOf }
}

test('above the platform the collar shows the crown, which the hand moves within the slice in one step', async () => {
  const { collar, session, drag, middleOf } = await raisedCollar()
  const { view } = collar
  if (view === null) throw new Error('no view')
  expect(collar.shadowRoot?.querySelector('[data-handle=body]')).toBeNull()
  drag('crown', middleOf('crown'), [60, -40])
  const moved = subtract(crownOrigin(session.plan), crownOrigin(uprightPlan))
  expect(dot(moved, view.right)).toBeCloseTo(60 * view.mmPerPixel, 9)
  expect(dot(moved, view.down)).toBeCloseTo(-40 * view.mmPerPixel, 9)
  expect(session.plan.fixture).toEqual(uprightPlan.fixture)
  session.undo()
  expect(session.plan).toBe(uprightPlan)
})

test('its round handle turns the crown about its long axis, the facial face the way the hand goes round', async () => {
  const { collar, session, drag, middleOf } = await raisedCollar()
  const { view } = collar
  if (view === null) throw new Error('no view')
  const before = siteFrame(uprightPlan)
  const start = middleOf('crown-turn')
  // To the left below is clockwise: the facial face, above, goes to the right.
  drag('crown-turn', start, [-30, 0])
  const after = siteFrame(session.plan)
  expect(dot(after.facial, view.right)).toBeGreaterThan(dot(before.facial, view.right) + 0.05)
  expect(dot(after.apical, before.apical)).toBeCloseTo(1, 9)
  const pose = fromRows(session.plan.crown.pose)
  expect(crownOrigin(session.plan)).toEqual(crownOrigin(uprightPlan))
  expect(pose).not.toEqual(fromRows(uprightPlan.crown.pose))
})

test('its buttons ask for another slice, as a finger can', async () => {
  const { collar } = await raisedCollar()
  const asked: number[] = []
  collar.addEventListener('alv-collar-depth', (event) => asked.push(event.detail.depthMm))
  for (const button of collar.shadowRoot?.querySelectorAll('button') ?? []) button.click()
  expect(asked).toEqual([-5.5, -4.5])
})
