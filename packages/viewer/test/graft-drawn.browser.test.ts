import { crownSection, type Plan, placedCrown, type Vec3 } from '@alveometer/core'
import { afterEach, describe, expect, test } from 'vitest'
import { sectionAxes, type View } from '../src/drawing/view.js'
import { type AlvEvents, type AlvMarginMap, defineElements, PlanSession } from '../src/index.js'
import { graftedAssessment, madeUpGraft } from './grafted-assessment.js'
import { mountedAt, settled } from './mounted.js'
import { uprightPlan } from './plan.js'

defineElements()
afterEach(() => document.body.replaceChildren())

const free: Plan = {
  ...uprightPlan,
  graft: {
    ...{ kind: 'free', at: [0, -1, 6.5], thicknessMm: 2, heightMm: 7, widthMm: 8 },
    loss: { kind: 'share', share: 0.25 },
  },
}

const assessment = graftedAssessment

function section(plan: Plan, size: readonly [number, number] = [640, 640]) {
  const placed = placedCrown(plan, undefined)
  const plane = { origin: plan.fixture.platform, normal: sectionAxes(plan).normal }
  const outline = crownSection(placed.crown, placed.pose, plane).map((line) => line.points)
  return mountedAt(size, 'alv-section', { plan, placed, outline, assessment, collarDepthMm: 1.5 })
}

const collar = (plan: Plan, size: readonly [number, number] = [400, 400]) =>
  mountedAt(size, 'alv-collar', { plan, assessment, collarDepthMm: 2.5 })

type Drawing = HTMLElement & { readonly view: View | null }

const inside = (element: Element, selector: string): SVGElement => {
  const found = element.shadowRoot?.querySelector<SVGElement>(selector)
  if (!found) throw new Error(`no ${selector}`)
  return found
}

const text = (element: Element): string => element.shadowRoot?.textContent?.replace(/\s+/g, ' ') ?? ''

const mmPerPixel = (drawing: Drawing): number => drawing.view?.mmPerPixel ?? Number.NaN

/** Shoelace over the closed lines of a path, mm2. */
function areaMm2(drawing: Drawing, selector: string): number {
  const loops = (inside(drawing, selector).getAttribute('d') ?? '').split('Z').filter((d) => d !== '')
  const scale = mmPerPixel(drawing) ** 2
  return loops.reduce((all, d) => {
    const n = (d.match(/-?[\d.]+/g) ?? []).map(Number)
    let sum = 0
    for (let k = 0; k < n.length; k += 2) {
      const [x, y] = [n[k] ?? 0, n[k + 1] ?? 0]
      const [nx, ny] = [n[(k + 2) % n.length] ?? 0, n[(k + 3) % n.length] ?? 0]
      sum += (x * ny - nx * y) / 2
    }
    return all + Math.abs(sum) * scale
  }, 0)
}

function follow(drawing: HTMLElement & { plan: Plan | null }, plan: Plan) {
  const session = new PlanSession(plan)
  drawing.addEventListener('alv-plan', (event: AlvEvents['alv-plan']) => {
    const { detail } = event
    if (detail.phase === 'begin') session.begin()
    else if (detail.phase === 'end') session.commit()
    else if (detail.phase === 'cancel') session.cancel()
    else session.update(detail.plan)
    drawing.plan = session.plan
  })
  const undo = () => {
    session.undo()
    drawing.plan = session.plan
  }
  return { session, undo }
}

function drag(drawing: Drawing, handle: string, dx: number, dy: number): void {
  const grip = inside(drawing, `[data-handle=${handle}]`)
  grip.setPointerCapture = () => {}
  const { x, y, width, height } = inside(drawing, `[data-handle=${handle}] .mark`).getBoundingClientRect()
  const at = (type: string, k: number) =>
    grip.dispatchEvent(
      new PointerEvent(type, {
        ...{ pointerId: 1, button: 0, bubbles: true, composed: true },
        clientX: x + width / 2 + k * dx,
        clientY: y + height / 2 + k * dy,
      }),
    )
  at('pointerdown', 0)
  for (const k of [0.3, 0.7, 1]) at('pointermove', k)
  at('pointerup', 1)
}

const press = (element: Element, key: string, more: KeyboardEventInit = {}) =>
  element.dispatchEvent(
    new KeyboardEvent('keydown', { key, bubbles: true, composed: true, cancelable: true, ...more }),
  )

const freeOf = (plan: Plan) => {
  if (plan.graft?.kind !== 'free') throw new Error('no free graft')
  return plan.graft
}

describe('section', () => {
  test('what is built and what remains of it are drawn with hatchings of their own, in true size', async () => {
    const drawing = await section(uprightPlan)
    // Trapezia of the made-up outlines: 7.5 and 5 mm long, 1.38 and 1.035 mm thick.
    expect(areaMm2(drawing, 'path.built:not(.cas)')).toBeCloseTo(((7.5 + 5) / 2) * 1.38, 1)
    expect(areaMm2(drawing, 'path.hatching.kept')).toBeCloseTo(((7.5 + 5) / 2) * 1.035, 1)
    const fills = ['.hatching.lost', '.hatching.kept', '.hatching:not(.lost, .kept)'].map((kind) =>
      inside(drawing, kind).getAttribute('fill'),
    )
    expect(new Set(fills).size).toBe(3)
    expect(text(drawing)).toContain('graft expected to remain')
    expect(text(drawing)).toContain('graft expected to resorb')
  })

  test('thickness and margin with the graft are dimensioned; without a graft nothing of it is there', async () => {
    const drawing = await section(uprightPlan)
    expect(text(drawing)).toContain('graft 1.38 mm')
    expect(text(drawing)).toContain('2.00 built, 1.66 kept')
    expect(text(drawing)).toContain('0.62 \u00b10.13')
    drawing.assessment = { ...assessment, graft: null }
    await settled()
    expect(text(drawing)).not.toContain('graft')
    expect(text(drawing)).not.toContain('built')
    expect(drawing.shadowRoot?.querySelector('[data-graft]')).toBeNull()
  })

  test.each([[[760, 640]], [[520, 620]], [[380, 520]], [[320, 420]]] as const)(
    'at %s the key covers no lettering and no handle',
    async (size) => {
      const drawing = await section(free, size)
      const key = inside(drawing, '[data-key]')
      expect(key.getAttribute('visibility')).toBe('visible')
      const box = key.getBoundingClientRect()
      const sheet = drawing.getBoundingClientRect()
      expect(box.left).toBeGreaterThanOrEqual(sheet.left)
      expect(box.right).toBeLessThanOrEqual(sheet.right)
      for (const other of drawing.shadowRoot?.querySelectorAll('text.note, .grip .mark, .zoom') ?? []) {
        const it = other.getBoundingClientRect()
        const apart =
          it.right <= box.left || it.left >= box.right || it.bottom <= box.top || it.top >= box.bottom
        expect(apart, other.textContent ?? '').toBe(true)
      }
    },
  )

  test('its ends and its outside are drawn by hand, one step of undo each', async () => {
    const drawing = await section(free)
    const { session, undo } = follow(drawing, free)
    const px = mmPerPixel(drawing)
    // Tooth 11: apical is up, facial on the left.
    drag(drawing, 'graft-coronal', 3, 20)
    expect(freeOf(session.plan).heightMm).toBeCloseTo(7 + 20 * px, 6)
    expect(freeOf(session.plan).at[2]).toBeCloseTo(6.5 - 10 * px, 6)
    undo()
    expect(session.plan).toBe(free)
    drag(drawing, 'graft-apical', 0, -20)
    expect(freeOf(session.plan).heightMm).toBeCloseTo(7 + 20 * px, 6)
    undo()
    drag(drawing, 'graft-thickness', -12, 5)
    expect(freeOf(session.plan).thicknessMm).toBeCloseTo(2 + 12 * px, 6)
    expect(session.plan.fixture).toBe(free.fixture)
    undo()
    expect(session.plan).toBe(free)
  })

  test('arrow keys go by 0.1 mm, with Shift too: nothing tilts', async () => {
    const drawing = await section(free)
    const { session } = follow(drawing, free)
    press(inside(drawing, '[data-handle=graft-thickness]'), 'ArrowLeft')
    expect(freeOf(session.plan).thicknessMm).toBeCloseTo(2.1, 9)
    press(inside(drawing, '[data-handle=graft-apical]'), 'ArrowUp', { shiftKey: true })
    expect(freeOf(session.plan).heightMm).toBeCloseTo(7.1, 9)
    expect(session.plan.fixture).toBe(free.fixture)
  })

  test('a graft that follows the margins has no handles, nor one that lies beside the plane', async () => {
    const drawing = await section(uprightPlan)
    expect(drawing.shadowRoot?.querySelector('[data-handle^=graft]')).toBeNull()
    drawing.plan = { ...free, graft: { ...freeOf(free), at: [3.9, -1, 6.5] } }
    await settled()
    expect(drawing.shadowRoot?.querySelectorAll('[data-handle^=graft]')).toHaveLength(3)
    drawing.plan = { ...free, graft: { ...freeOf(free), at: [4.1, -1, 6.5] } }
    await settled()
    expect(drawing.shadowRoot?.querySelector('[data-handle^=graft]')).toBeNull()
  })
})

describe('collar', () => {
  test('the same layers stand in the slice at its depth, and nowhere else', async () => {
    const drawing = await collar(uprightPlan)
    const built = areaMm2(drawing, 'path.built:not(.cas)')
    expect(areaMm2(drawing, 'path.hatching.kept')).toBeLessThan(built)
    // Three rays 30 degrees apart from 2.62 to 4 mm: two full wedges (exact for straight chords), and the two ends.
    const wedge = ((4 ** 2 - 2.62 ** 2) / 2) * Math.sin(Math.PI / 6)
    expect(built).toBeGreaterThan(2 * wedge)
    expect(built).toBeLessThan(3 * wedge)
    drawing.collarDepthMm = 9
    await settled()
    expect(drawing.shadowRoot?.querySelector('[data-graft]')).toBeNull()
  })

  test('its middle and its borders are drawn by hand and by keys', async () => {
    const drawing = await collar(free)
    const { session, undo } = follow(drawing, free)
    const px = mmPerPixel(drawing)
    const mesialRight = text(drawing).indexOf('mesial') > text(drawing).indexOf('distal')
    drag(drawing, 'graft-mesial', mesialRight ? 15 : -15, 4)
    expect(freeOf(session.plan).widthMm).toBeCloseTo(8 + 15 * px, 6)
    undo()
    drag(drawing, 'graft', 0, -10)
    expect(freeOf(session.plan).at).toEqual([0, -1 - 10 * px, 6.5].map((x) => expect.closeTo(x, 6)))
    undo()
    expect(session.plan).toBe(free)
    press(inside(drawing, '[data-handle=graft-mesial]'), mesialRight ? 'ArrowRight' : 'ArrowLeft')
    expect(freeOf(session.plan).widthMm).toBeCloseTo(8.1, 9)
    press(inside(drawing, '.stage'), 'ArrowUp')
    expect(session.plan.fixture.platform).toEqual(
      [0, 0.9, 3].map((x: number) => expect.closeTo(x, 9)) as unknown as Vec3,
    )
  })
})

describe('margin map', () => {
  const button = (map: AlvMarginMap, name: string) => {
    const found = [...(map.shadowRoot?.querySelectorAll('button') ?? [])].find(
      (b) => b.textContent?.trim() === name,
    )
    if (!found) throw new Error(`no button ${name}`)
    return found
  }

  test('is of the bone now, grafted, and after the loss', async () => {
    const map = await mountedAt([420, 360], 'alv-margin-map', {
      margin: assessment.margin,
      graft: madeUpGraft,
    })
    const least = () => inside(map, 'text.value').textContent
    expect(least()).toContain('0.62')
    button(map, 'grafted').click()
    await settled()
    expect(map.shown).toBe('after')
    expect(least()).toContain('2.00')
    expect(button(map, 'nearest').disabled).toBe(true)
    button(map, 'after loss').click()
    await settled()
    expect(least()).toContain('1.66')
    map.graft = null
    await settled()
    expect(least()).toContain('0.62')
    expect(button(map, 'nearest').disabled).toBe(false)
  })
})
