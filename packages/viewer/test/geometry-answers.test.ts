import { describe, expect, test } from 'vitest'
import type { PreviewFacts } from '../src/engine/protocol.js'
import {
  answersOf,
  choose,
  type Draft,
  distanceOf,
  emptyDraft,
  sidesOf,
  unanswered,
  upChoices,
  voxelOf,
} from '../src/geometry-check/answers.js'
import { firstLine, withEnd } from '../src/geometry-check/line.js'

const preview = (
  asked: readonly PreviewFacts['questions'][number][],
  more: Partial<PreviewFacts> = {},
): PreviewFacts => ({
  shape: [100, 80, 60],
  aspect: [1, 1, 1],
  questions: asked,
  sides: null,
  counting: asked.some((q) => q.ask === 'slice-step') ? null : [0, 0, 1],
  greyLow: 0,
  greyHigh: 1000,
  ...more,
})

/** A photographed stack: nothing but a thickness that is no distance. */
const bare = preview([
  { ask: 'pixel-spacing' },
  { ask: 'slice-step', suggestion: { mm: 0.4, from: 'Slice Thickness' } },
  { ask: 'orientation' },
])

describe('a length that is known', () => {
  // Pythagoras: 30 by 40 pixels are 50 pixels.
  const line = { from: [10, 10], to: [40, 50] } as const

  test('25 mm over 50 pixels are 0.5 mm a pixel, each end to a pixel', () => {
    expect(distanceOf({ ...unanswered, line, knownMm: 25 })).toEqual({
      mm: 0.5,
      uncertaintyMm: (0.5 * Math.SQRT2) / 50,
    })
  })

  test.each([
    ['the line was not touched', { line: null, knownMm: 25 }],
    ['nothing is typed', { line, knownMm: Number.NaN }],
    ['nought is typed', { line, knownMm: 0 }],
    ['a negative length is typed', { line, knownMm: -3 }],
    ['the line has no length', { line: { from: [3, 3], to: [3, 3] }, knownMm: 25 }],
  ] as const)('is no answer while %s', (_, answer) => {
    expect(distanceOf({ ...unanswered, ...answer })).toBeNull()
  })

  test("the header's claim is taken only when a person takes it", () => {
    expect(distanceOf(unanswered, 0.4)).toBeNull()
    expect(distanceOf({ ...unanswered, how: 'from-header' }, 0.4)).toEqual({ mm: 0.4, uncertaintyMm: null })
    expect(distanceOf({ ...unanswered, how: 'from-header' })).toBeNull()
  })
})

describe('the line', () => {
  const inside = { width: 100, height: 60, upright: false }

  test('stays inside the picture', () => {
    const line = firstLine(100, 60, false)
    expect(withEnd(line, 'to', [500, -7], inside).to).toEqual([99.5, -0.5])
  })

  test('along the slices it stays upright: both ends go sideways together', () => {
    const line = firstLine(100, 60, true)
    expect(line.from[0]).toBe(line.to[0])
    const moved = withEnd(line, 'from', [20, 5], { ...inside, upright: true })
    expect(moved).toEqual({ from: [20, 5], to: [20, line.to[1]] })
  })
})

describe('sides', () => {
  const sides = (
    left: 'Right' | 'Left',
    top: 'Front' | 'Back' | 'Head' | null,
    up: 'Head' | 'Feet' | 'Front' | null,
  ) => ({ ...emptyDraft, sides: { left, top, up } }) satisfies Draft

  test('left edge Right, top edge Front, counted towards Head is the axial slice of PS3.3 C.7.6.2.1.1 in LPS', () => {
    const asked = preview([{ ask: 'slice-step' }, { ask: 'orientation' }])
    const draft = {
      ...sides('Right', 'Front', 'Head'),
      step: { ...unanswered, how: 'typed' as const, typedMm: 0.3 },
    }
    expect(answersOf(asked, draft)).toEqual({
      sliceStepMm: 0.3,
      orientation: { row: [1, 0, 0], column: [0, 1, 0], slice: [0, 0, 1] },
      how: { 'slice-step': 'typed', orientation: 'chosen' },
    })
  })

  test('a coronal picture with the head above, counted towards the front', () => {
    const asked = preview([{ ask: 'orientation' }], { counting: null })
    expect(answersOf(asked, sides('Left', 'Head', 'Front'))?.orientation).toEqual({
      row: [-1, 0, 0],
      column: [0, 0, -1],
      slice: [0, -1, 0],
    })
  })

  test('only the axis that is left can be counted along, and only when two are known', () => {
    expect(upChoices(bare, emptyDraft)).toEqual([])
    expect(upChoices(bare, sides('Right', 'Front', 'Head'))).toEqual(['Head', 'Feet'])
    expect(upChoices(bare, sides('Right', 'Head', 'Front'))).toEqual(['Front', 'Back'])
  })

  test('a side that contradicts another takes its place', () => {
    const now = { left: 'Right', top: 'Front', up: 'Head' } as const
    expect(choose(now, 'top', 'Left')).toEqual({ left: null, top: 'Left', up: null })
    expect(choose(now, 'left', 'Feet')).toEqual({ left: 'Feet', top: 'Front', up: null })
    expect(choose(now, 'left', 'Left')).toEqual({ ...now, left: 'Left' })
  })

  test('where positions tell how slices are counted, that side is told with the others', () => {
    const counted = preview([{ ask: 'orientation' }], { counting: [0, 0, -1] })
    expect(sidesOf(counted, sides('Right', null, null)).up).toBeNull()
    expect(sidesOf(counted, sides('Right', 'Front', null))).toEqual({
      left: 'Right',
      top: 'Front',
      up: 'Feet',
    })
  })

  test('what the file gives is not asked, and told only when the rest was answered', () => {
    const known = preview([{ ask: 'slice-step' }, { ask: 'orientation' }], {
      sides: { row: [1, 0, 0], column: [0, 1, 0] },
    })
    expect(sidesOf(known, emptyDraft)).toEqual({ left: null, top: null, up: null })
    expect(upChoices(known, emptyDraft)).toEqual(['Head', 'Feet'])
    const draft = {
      ...emptyDraft,
      step: { ...unanswered, how: 'typed' as const, typedMm: 0.3 },
      sides: { left: null, top: null, up: 'Feet' as const },
    }
    expect(sidesOf(known, draft)).toEqual({ left: 'Right', top: 'Front', up: 'Feet' })
    expect(answersOf(known, draft)?.orientation?.slice.map((v) => v + 0)).toEqual([0, 0, -1])
  })

  test('where the file gives positions, two edges are enough', () => {
    const placed = preview([{ ask: 'orientation' }])
    const draft = { ...emptyDraft, sides: { left: 'Right', top: 'Front', up: null } } as const
    expect(answersOf(placed, draft)?.orientation).toBeDefined()
  })
})

test('nothing is answered while anything is missing', () => {
  const pixel = { ...unanswered, line: { from: [0, 0], to: [50, 0] } as const, knownMm: 15 }
  const step = { ...unanswered, how: 'from-header' as const }
  const sides = { left: 'Right', top: 'Front', up: 'Head' } as const
  expect(answersOf(bare, { ...emptyDraft, pixel, step })).toBeNull()
  expect(answersOf(bare, { ...emptyDraft, pixel, sides })).toBeNull()
  expect(answersOf(bare, { ...emptyDraft, step, sides })).toBeNull()
  expect(answersOf(bare, { pixel, step, sides })).toMatchObject({
    pixelSpacingMm: [0.3, 0.3],
    sliceStepMm: 0.4,
  })
})

test('the voxel is open as long as a part of it is', () => {
  expect(voxelOf(bare, emptyDraft)).toEqual([null, null, null])
  const known = preview([{ ask: 'slice-step' }], { aspect: [0.3, 0.25, 1] })
  expect(voxelOf(known, emptyDraft)).toEqual([0.3, 0.25, null])
})
