import type { FreeGraft } from '@alveometer/core'
import { describe, expect, test } from 'vitest'
import { rings } from '../src/collar/graft-rings.js'
import { graftDragged, graftPlace } from '../src/drawing/graft-hand.js'
import { layersShown } from '../src/drawing/graft-hatch.js'
import { uprightPlan } from './plan.js'

const angles = Array.from({ length: 360 }, (_, n) => n)

/** Shoelace formula over a line of polar points. */
function areaMm2(ring: readonly (readonly [number, number])[]): number {
  const points = ring.map(([deg, r]) => {
    const a = (deg * Math.PI) / 180
    return [r * Math.cos(a), r * Math.sin(a)] as const
  })
  return points.reduce((sum, [x, y], n) => {
    const [nx, ny] = points[(n + 1) % points.length] ?? [0, 0]
    return sum + (x * ny - nx * y) / 2
  }, 0)
}

const within = (from: number, to: number, mm: number) => angles.map((a) => (a >= from && a < to ? mm : null))

describe('the graft in a slice', () => {
  test('all the way round it is a ring: pi (R^2 - r^2)', () => {
    const found = rings(angles, within(0, 360, 2), within(0, 360, 3.5))
    expect(found).toHaveLength(2)
    const area = found.reduce((sum, ring) => sum + areaMm2(ring), 0)
    expect(area).toBeCloseTo(Math.PI * (3.5 ** 2 - 2 ** 2), 2)
  })

  test('a run of angles is a sector of that ring, also across 0 degrees', () => {
    const turned = (mm: number) => angles.map((a) => (a < 45 || a >= 315 ? mm : null))
    const whole = Math.PI * (3.5 ** 2 - 2 ** 2)
    for (const [inner, outer] of [
      [within(90, 180, 2), within(90, 180, 3.5)],
      [turned(2), turned(3.5)],
    ] as const) {
      const found = rings(angles, inner, outer)
      expect(found).toHaveLength(1)
      // 89 steps of a degree and, at each end, half a step in which it runs out.
      expect(Math.abs(areaMm2(found[0] ?? []))).toBeCloseTo((whole * 89.5) / 360, 1)
    }
  })

  test('two runs are two lines, nothing is none', () => {
    const two = angles.map((a) => ((a >= 20 && a < 50) || (a >= 200 && a < 240) ? 3 : null))
    const two2 = two.map((mm) => (mm === null ? null : 2))
    expect(rings(angles, two2, two)).toHaveLength(2)
    expect(rings(angles, within(0, 0, 2), within(0, 0, 3))).toEqual([])
    expect(rings(angles, within(0, 90, 3), within(0, 90, 3))).toEqual([])
  })

  test('what resorbs has a key only where it can be seen', () => {
    const square = (size: number) => [
      [
        [0, 0],
        [size, 0],
        [size, size],
        [0, size],
      ] as const,
    ]
    expect(layersShown({ built: square(20), kept: square(20) })).toEqual({ kept: true, lost: false })
    expect(layersShown({ built: square(20), kept: square(15) })).toEqual({ kept: true, lost: true })
    expect(layersShown({ built: square(20), kept: [] })).toEqual({ kept: false, lost: true })
    expect(layersShown({ built: [], kept: [] })).toEqual({ kept: false, lost: false })
  })
})

describe('the handles of a free graft', () => {
  const graft: FreeGraft = {
    ...{ kind: 'free' as const, at: [0, -1, 7] as const, thicknessMm: 2, heightMm: 6, widthMm: 8 },
    loss: { kind: 'share', share: 0.1 },
  }
  // Tooth 11: facial -y, mesial +x, apical +z.
  const plan = { ...uprightPlan, graft }

  test.each([
    ['graft-coronal', [0, 0, -1.5], { heightMm: 7.5, at: [0, -1, 6.25] }],
    ['graft-apical', [0, 0, 1], { heightMm: 7, at: [0, -1, 7.5] }],
    ['graft-mesial', [1, 0, 0], { widthMm: 9, at: [0.5, -1, 7] }],
    ['graft-distal', [1, 0, 0], { widthMm: 7, at: [0.5, -1, 7] }],
    ['graft-thickness', [0, -0.7, 0], { thicknessMm: 2.7 }],
    ['graft', [1, 2, 3], { at: [1, 1, 10] }],
  ] as const)('%s changes its own size and leaves the end across from it', (handle, by, told) => {
    const moved = graftDragged(plan, handle, by).graft
    expect(moved).toEqual({ ...graft, ...told })
    if (moved?.kind !== 'free') throw new Error('another kind')
    const before = graftPlace(plan, graft, handle)
    const after = graftPlace({ ...plan, graft: moved }, moved, handle)
    // The handle goes with the hand; that of the thickness stands at a share of the height.
    expect(after.map((x, n) => x - (before[n] ?? 0))).toEqual(by.map((x) => expect.closeTo(x, 9)))
  })

  test('an end drawn past its range stops, and the other end still stays', () => {
    const moved = graftDragged(plan, 'graft-coronal', [0, 0, 50]).graft
    expect(moved).toMatchObject({ heightMm: 1, at: [0, -1, expect.closeTo(9.5, 9)] })
  })

  test('a graft that follows the margins has none', () => {
    expect(graftDragged(uprightPlan, 'graft', [1, 0, 0])).toBe(uprightPlan)
  })
})
