import { describe, expect, test } from 'vitest'
import {
  type ConfirmedGeometry,
  createVolume,
  fromFrame,
  PlanError,
  readPlan,
  type ScanRemark,
  withScan,
  writePlan,
} from '../src/index.js'
import { uprightPlan } from './plan-fixture.js'

const remarks: readonly ScanRemark[] = [
  {
    level: 'warn',
    code: 'slices-missing',
    text: 'Three slices are missing.',
    facts: { slices: 3, at: 'z 12.4' },
  },
  { level: 'note', code: 'code-of-a-later-version', text: 'For the record.' },
]
const confirmed: ConfirmedGeometry = {
  pixelSpacingMm: [0.3, 0.25],
  sliceStepMm: 0.4,
  orientation: { row: [1, 0, 0], column: [0, 1, 0], slice: [0, -0.6, 0.8] },
  how: { 'pixel-spacing': 'known-length', 'slice-step': 'typed', orientation: 'chosen' },
}
const identity = { seriesUid: '1.2.3', frameOfReferenceUid: '1.2.4' }
const parts = {
  data: new Int16Array(8),
  shape: [2, 2, 2],
  indexToWorld: fromFrame([0.25, 0, 0], [0, 0.3, 0], [0, 0, 0.4], [0, 0, 0]),
  identity,
} as const

describe('withScan', () => {
  test('remarks of both levels and confirmed geometry survive writing and reading', () => {
    const volume = createVolume({ ...parts, remarks, confirmed })
    const plan = withScan(uprightPlan(), volume)
    expect(plan.scan).toEqual({ ...volume.identity, remarks, confirmed })
    expect(readPlan(writePlan(plan))).toEqual(plan)
  })

  test('what an earlier scan left is replaced, what else the plan holds is kept', () => {
    const old = {
      ...withScan(uprightPlan(), createVolume({ ...parts, remarks, confirmed })),
      notes: 'bruxism',
    }
    const other = createVolume({ ...parts, identity: { seriesUid: '9', frameOfReferenceUid: '8' } })
    const scan = { ...old.scan, scanner: 'B' }
    const plan = withScan({ ...old, scan }, other)
    expect(plan).toEqual({ ...old, scan: { ...other.identity, scanner: 'B', remarks: [] } })
  })
})

describe('readPlan names the place of a fault in the scan', () => {
  const { scan } = withScan(uprightPlan(), createVolume({ ...parts, remarks, confirmed }))
  const remark = remarks[0]
  const { orientation } = confirmed
  const cases: [change: object, says: RegExp][] = [
    [{ remarks: {} }, /scan\.remarks must be a list, got \{\}/],
    [{ remarks: [remark, 'x'] }, /scan\.remarks\[1\] must be an object, got "x"/],
    [{ remarks: [{ ...remark, level: 'block' }] }, /scan\.remarks\[0\]\.level must be "warn" or "note"/],
    [{ remarks: [{ ...remark, code: 4 }] }, /scan\.remarks\[0\]\.code must be text, got 4/],
    [{ remarks: [{ ...remark, code: '' }] }, /scan\.remarks\[0\]\.code must not be empty/],
    [{ remarks: [{ level: 'warn', code: 'c' }] }, /scan\.remarks\[0\]\.text must be text, got undefined/],
    [{ remarks: [{ ...remark, facts: [1] }] }, /scan\.remarks\[0\]\.facts must be an object, got \[1\]/],
    [{ remarks: [{ ...remark, facts: { n: null } }] }, /scan\.remarks\[0\]\.facts\.n must be a number/],
    [{ confirmed: [] }, /scan\.confirmed must be an object, got \[\]/],
    [{ confirmed: { sliceStepMm: 1 } }, /scan\.confirmed\.how must be an object, got undefined/],
    [
      { confirmed: { ...confirmed, pixelSpacingMm: 0.3 } },
      /scan\.confirmed\.pixelSpacingMm must be two lengths/,
    ],
    [{ confirmed: { ...confirmed, pixelSpacingMm: [0.3, 0] } }, /pixelSpacingMm\[1\] must be more than 0 mm/],
    [{ confirmed: { ...confirmed, sliceStepMm: -1 } }, /scan\.confirmed\.sliceStepMm must be more than 0 mm/],
    [
      { confirmed: { ...confirmed, orientation: { ...orientation, row: [2, 0, 0] } } },
      /scan\.confirmed\.orientation\.row must have length 1, has 2\.000/,
    ],
    [
      { confirmed: { ...confirmed, orientation: { ...orientation, slice: [0, 1, 0] } } },
      /scan\.confirmed\.orientation must be three directions that do not lie in one plane/,
    ],
    [
      { confirmed: { ...confirmed, how: { 'slice-step': 'guessed' } } },
      /scan\.confirmed\.how\.slice-step must be one of known-length, typed, from-header, chosen, got "guessed"/,
    ],
    [{ confirmed: { ...confirmed, how: { orientation: 'toString' } } }, /scan\.confirmed\.how\.orientation/],
  ]
  for (const [change, says] of cases)
    test(JSON.stringify(change).slice(0, 100), () => {
      const text = JSON.stringify({ ...uprightPlan(), scan: { ...scan, ...change } })
      expect(() => readPlan(text)).toThrow(says)
      expect(() => readPlan(text)).toThrow(PlanError)
    })

  test('ways of confirming a part that this version does not know are kept', () => {
    const later = {
      ...uprightPlan(),
      scan: { ...scan, confirmed: { how: { gantry: 'measured' }, tiltDeg: 3 } },
    }
    expect(JSON.parse(writePlan(readPlan(JSON.stringify(later))))).toEqual(later)
  })
})
