import {
  type Assessment,
  accessChannel,
  accessExit,
  angledChannel,
  column,
  crownSection,
  fromFrame,
  type Plan,
  placedCrown,
  toRows,
  transformPoint,
  type Vec3,
} from '@alveometer/core'
import { afterEach, expect, test } from 'vitest'
import { toPixel } from '../src/drawing/index.js'
import { sectionAxes } from '../src/drawing/view.js'
import { type AlvEvents, type AlvSection, defineElements, PlanSession } from '../src/index.js'
import { madeUpAssessment } from './assessment.js'
import { mountedAt, settled } from './mounted.js'
import { uprightPlan } from './plan.js'

defineElements()
afterEach(() => document.body.replaceChildren())

/** The fixture under the edge of 11, leaning facially: a straight channel leaves through the edge. */
const leaning: Plan = {
  ...uprightPlan,
  fixture: { ...uprightPlan.fixture, platform: [0, 0, 3], apical: [0, 0.05, 1] },
}

function drawnFor(plan: Plan): Partial<AlvSection> {
  const { fixture, site } = plan
  const placed = placedCrown(plan, undefined)
  const question = { ...placed, fixture, site }
  const assessment: Assessment = {
    ...madeUpAssessment,
    exit: accessExit(question),
    channel: accessChannel(question),
    angled: angledChannel(question),
  }
  const plane = { origin: fixture.platform, normal: sectionAxes(plan).normal }
  const outline = crownSection(placed.crown, placed.pose, plane).map((line) => line.points)
  return { plan, placed, assessment, outline }
}

const mounted = (plan: Plan, size: readonly [number, number] = [640, 640]) =>
  mountedAt(size, 'alv-section', drawnFor(plan))

const text = (element: Element): string => element.shadowRoot?.textContent?.replace(/\s+/g, ' ') ?? ''
const inside = (element: Element, selector: string): HTMLElement => {
  const found = element.shadowRoot?.querySelector<HTMLElement>(selector)
  if (!found) throw new Error(`no ${selector}`)
  return found
}

function follow(section: AlvSection, plan: Plan): PlanSession {
  const session = new PlanSession(plan)
  section.addEventListener('alv-plan', ({ detail }: AlvEvents['alv-plan']) => {
    if (detail.phase === 'begin') session.begin()
    else if (detail.phase === 'end') session.commit()
    else if (detail.phase === 'cancel') session.cancel()
    else session.update(detail.plan)
  })
  return session
}

const press = (element: Element, key: string, more: KeyboardEventInit = {}): boolean =>
  element.dispatchEvent(
    new KeyboardEvent('keydown', { key, bubbles: true, composed: true, cancelable: true, ...more }),
  )

/** How far the crown's edge leans facially (here towards `facial`), degrees. */
function edgeLeansDeg(plan: Plan, facial: Vec3): number {
  const [x, y, z] = column(placedCrown(plan, undefined).pose, 2)
  const out = -(x * facial[0] + y * facial[1])
  return (Math.atan2(out, Math.abs(z)) * 180) / Math.PI
}

test('the least wall and the bend are drawn with their numbers, the bend on roomy drawings only', async () => {
  const { assessment } = drawnFor(leaning)
  const shown = (value: number | undefined, digits: number) =>
    (value ?? Number.NaN).toFixed(digits).replace('-', '\u2212')
  const roomy = text(await mounted(leaning))
  expect(roomy).toContain(`wall ${shown(assessment?.channel.wall?.mm, 2)}`)
  expect(roomy).toContain(`bend ${shown(assessment?.angled.least?.correctionDeg, 1)}\u00b0`)
  const narrow = text(await mounted(leaning, [400, 480]))
  expect(narrow).toContain('wall')
  expect(narrow).not.toContain('bend')
})

test('a wall further than a millimetre off the plane is not drawn in it', async () => {
  const section = await mounted(leaning)
  const { assessment } = section
  const wall = assessment?.channel.wall
  if (!assessment || !wall) throw new Error('no wall')
  const moved = (off: number): Assessment => ({
    ...assessment,
    channel: { ...assessment.channel, wall: { ...wall, at: [off, -3, -4], mm: 1.5 } },
  })
  section.assessment = moved(0.9)
  await settled()
  expect(text(section)).toContain('wall 1.50')
  section.assessment = moved(1.1)
  await settled()
  expect(text(section)).not.toContain('wall')
})

test('the exit is dimensioned from the edge of the crown that stands there', async () => {
  const section = await mounted(leaning)
  const { placed, view } = section
  const exit = section.assessment?.exit
  if (!placed || !view || !exit?.point) throw new Error('nothing drawn')
  // Another crown, whose edge lies 2 mm further palatally all along.
  const edge = placed.crown.edge.map(([x, y, z]): Vec3 => [x - 2, y, z])
  section.placed = { ...placed, crown: { ...placed.crown, edge } }
  await settled()
  const middle = edge[Math.floor(edge.length / 2)]
  const [x] = toPixel(view, transformPoint(placed.pose, middle))
  const lines = [...(section.shadowRoot?.querySelectorAll('g.measured path.thin:not(.cas)') ?? [])].map(
    (line) => line.getAttribute('d') ?? '',
  )
  const near = lines.some((d) => {
    const numbers = d.match(/-?[\d.]+/g)?.map(Number) ?? []
    return numbers.length === 4 && Math.abs(numbers[0] - x) < 0.6 && Math.abs(numbers[2] - x) < 0.6
  })
  expect(near).toBe(true)
})

test('a longer crown is shown whole', async () => {
  const section = await mounted(leaning)
  const before = section.view?.mmPerPixel ?? 0
  const { placed } = section
  if (placed === null) throw new Error('no crown')
  section.placed = { ...placed, crown: { ...placed.crown, lengthMm: placed.crown.lengthMm + 6 } }
  section.fit()
  await settled()
  expect(section.view?.mmPerPixel).toBeGreaterThan(before * 1.1)
})

test.each([
  ['11', [0, -1, 0], 1],
  ['21', [0, -1, 0], 1],
  ['16', [-1, 0, 0], 1],
  ['26', [1, 0, 0], 1],
  ['36', [1, 0, 0], -1],
  ['43', [0, -1, 0], -1],
] as const)(
  'tooth %s: the handle at the edge tilts the crown with the hand',
  async (tooth, facial, apicalZ) => {
    const y: Vec3 = [-apicalZ * facial[1], apicalZ * facial[0], 0]
    const apical: Vec3 = [0, 0, apicalZ]
    const plan: Plan = {
      ...uprightPlan,
      site: { tooth, facial, coronal: [0, 0, -apicalZ] },
      crown: { kind: 'tabulated', tooth, pose: toRows(fromFrame(facial, y, apical, [0, 0, 0])) },
      fixture: { ...uprightPlan.fixture, platform: [0, 0, 3 * apicalZ], apical },
    }
    const section = await mounted(plan)
    const session = follow(section, plan)
    const { view } = section
    if (view === null) throw new Error('no view')
    const grip = inside(section, '[data-handle=crown-tilt]')
    grip.setPointerCapture = () => {}
    const box = inside(section, '.stage').getBoundingClientRect()
    const [cx, cy] = toPixel(view, [0, 0, 0])
    const mark = inside(section, '[data-handle=crown-tilt] .mark').getBoundingClientRect()
    const from = [mark.x + mark.width / 2 - box.x - cx, mark.y + mark.height / 2 - box.y - cy]
    // Facial is on the left: towards the left is clockwise below the crown's centre, the other way above it.
    const turn = (apicalZ * 8 * Math.PI) / 180
    const to = [
      from[0] * Math.cos(turn) - from[1] * Math.sin(turn),
      from[0] * Math.sin(turn) + from[1] * Math.cos(turn),
    ]
    const at = (type: string, [dx, dy]: readonly number[]) =>
      grip.dispatchEvent(
        new PointerEvent(type, {
          pointerId: 1,
          clientX: box.x + cx + dx,
          clientY: box.y + cy + dy,
          bubbles: true,
          composed: true,
          button: 0,
        }),
      )
    at('pointerdown', from)
    at('pointermove', to)
    at('pointerup', to)
    expect(edgeLeansDeg(session.plan, facial)).toBeCloseTo(8, 1)
    expect(session.plan.fixture).toEqual(plan.fixture)
    session.undo()
    expect(session.plan).toBe(plan)
  },
)

test('keys on the crown tilt the crown, on the fixture the fixture', async () => {
  const section = await mounted(leaning)
  const session = follow(section, leaning)
  press(inside(section, '[data-handle=crown-tilt]'), 'ArrowLeft')
  expect(edgeLeansDeg(session.plan, [0, -1, 0])).toBeCloseTo(0.5, 9)
  expect(session.plan.fixture).toEqual(leaning.fixture)
  session.undo()
  press(inside(section, '[data-handle=crown]'), 'ArrowLeft', { shiftKey: true })
  expect(edgeLeansDeg(session.plan, [0, -1, 0])).toBeCloseTo(0.5, 9)
  session.undo()
  press(inside(section, '[data-handle=body]'), 'ArrowLeft', { shiftKey: true })
  expect(session.plan.crown).toEqual(leaning.crown)
  expect(session.plan.fixture.apical).not.toEqual(leaning.fixture.apical)
})
