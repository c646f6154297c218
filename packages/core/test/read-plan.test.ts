import { describe, expect, test } from 'vitest'
import { PlanError, readPlan, writePlan } from '../src/index.js'
import { uprightPlan } from './plan-fixture.js'

/** The text of a good plan with one place changed. */
function changed(path: string, value: unknown): string {
  const plan = JSON.parse(writePlan(uprightPlan()))
  const keys = path.split('.')
  const last = keys.pop() ?? ''
  let at = plan
  for (const key of keys) at = at[key]
  if (value === undefined) delete at[last]
  else at[last] = value
  return JSON.stringify(plan)
}

test('readPlan(writePlan(plan)) is the plan', () => {
  expect(readPlan(writePlan(uprightPlan()))).toEqual(uprightPlan())
})

test('unknown fields survive the round trip, in every object', () => {
  const plan = JSON.parse(writePlan(uprightPlan()))
  plan.notes = 'ask about bruxism'
  plan.site.papilla = { mesial: 'full' }
  plan.fixture.shape.thread = [0.8, null]
  expect(JSON.parse(writePlan(readPlan(JSON.stringify(plan))))).toEqual(plan)
})

describe('readPlan(bad) names the place and what it got', () => {
  const cases: [path: string, value: unknown, says: RegExp][] = [
    ['schema', 'other', /schema must be "alveometer-plan", got "other"/],
    ['version', 2, /version must be 1, got 2: open it with the version that wrote it/],
    ['scan', undefined, /scan must be an object/],
    ['scan.seriesUid', 7, /scan\.seriesUid must be text, got 7/],
    ['site.tooth', '19', /site\.tooth must be an ISO 3950 permanent tooth such as "11", got "19"/],
    ['site.facial', [1, 0], /site\.facial must be three numbers/],
    ['site.facial', [0, 0, 0], /site\.facial must have length 1/],
    ['site.facial', [0, 0, 1], /site\.facial is 180 deg from site\.coronal/],
    ['crown.kind', 'drawn', /crown\.kind must be "tabulated" or "mesh"/],
    ['crown.tooth', '21', /crown\.tooth is 21 but site\.tooth is 11/],
    ['crown.pose', [1, 2, 3], /crown\.pose must be 16 numbers, row by row/],
    ['crown.pose', [2, 0, 0, 0, 0, 2, 0, 0, 0, 0, 2, 0, 0, 0, 0, 1], /scale, shear or a mirror/],
    ['crown.pose', [-1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1], /mirror/],
    ['crown.pose', [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 5, 6, 7, 1], /must end in 0, 0, 0, 1/],
    ['crown.size', 9, /crown\.size must be an object, got 9/],
    ['crown.size', { lengthMm: 'long' }, /crown\.size\.lengthMm must be a number, got "long"/],
    ['crown.size', { widthMdMm: 85 }, /crown\.size\.widthMdMm cannot be used: .* give 4\.25 to 17 mm/],
    ['site.neighbours', [], /site\.neighbours must be an object/],
    ['site.neighbours', { mesial: 4 }, /site\.neighbours\.mesial must be an object, got 4/],
    ['site.neighbours', { distal: { cej: [1, 2] } }, /site\.neighbours\.distal\.cej must be three numbers/],
    [
      'site.neighbours',
      { mesial: { contact: [1, 2, null] } },
      /site\.neighbours\.mesial\.contact\[2\] must be a number, got null/,
    ],
    ['fixture.shape.diameterMm', -4, /fixture\.shape\.diameterMm must be more than 0 mm, got -4/],
    ['fixture.shape.lengthMm', '10', /fixture\.shape\.lengthMm must be a number, got "10"/],
    ['fixture.shape', { kind: 'profile', points: [[0, 2]] }, /fixture\.shape\.points cannot be used/],
    ['fixture.shape', { kind: 'cube' }, /fixture\.shape\.kind must be/],
    ['fixture.platform', [0, 0, null], /fixture\.platform\[2\] must be a number, got null/],
    ['fixture.apical', [0, 0, 0.5], /fixture\.apical must have length 1/],
    ['fixture.apical', [1, 0, 0], /fixture\.apical points along site\.facial/],
    ['structures', {}, /structures must be a list/],
    ['limits.marginMm', 'one', /limits\.marginMm must be a number, got "one"/],
  ]
  for (const [path, value, says] of cases)
    test(`${path} = ${JSON.stringify(value)}`, () => {
      expect(() => readPlan(changed(path, value))).toThrow(says)
      expect(() => readPlan(changed(path, value))).toThrow(PlanError)
    })

  test('text that is not JSON', () => {
    expect(() => readPlan('{')).toThrow(/plan: is not JSON/)
  })
})

const ROWS = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1]

/** Every field of a mesh crown. */
const MESH_CROWN = {
  kind: 'mesh',
  file: 'crown.stl',
  pose: ROWS,
  tooth: '21',
  unitMm: 25.4,
  space: 'ras',
  frame: ROWS,
  marks: { edgeMesial: [1, 2, 3], zenith: [0, 0, 0] },
}

test('every field of a mesh crown, marks of the neighbours and sizes of a crown come back', () => {
  const neighbours = { mesial: { contact: [1, 2, 3] }, distal: { cej: [4, 5, 6], note: 'worn' } }
  const plan = JSON.parse(writePlan(uprightPlan()))
  plan.site.neighbours = neighbours
  plan.crown.size = { lengthMm: 9.5, shade: 'A2' }
  expect(readPlan(JSON.stringify(plan))).toEqual(plan)
  plan.crown = { ...MESH_CROWN, marks: { ...MESH_CROWN.marks, papilla: 'full' }, material: 'zirconia' }
  expect(readPlan(JSON.stringify(plan))).toEqual(plan)
})

describe('readPlan(bad mesh crown) names the place and what is wrong', () => {
  const cases: [change: Record<string, unknown>, says: RegExp][] = [
    [{ file: '' }, /crown\.file must not be empty: name the mesh file/],
    [{ tooth: '12' }, /crown\.tooth is 12, but .* only be of 11 or, mirrored, of 21: choose another mesh/],
    [{ tooth: 21 }, /crown\.tooth must be text, got 21/],
    [{ unitMm: 0 }, /crown\.unitMm must be more than 0, got 0: .* 25\.4 for inches/],
    [{ unitMm: 'inch' }, /crown\.unitMm must be a number, got "inch"/],
    [{ space: 'scanner' }, /crown\.space must be "lps" or "ras", got "scanner"/],
    [{ frame: [1, 2] }, /crown\.frame must be 16 numbers, row by row/],
    [{ frame: ROWS.map((v) => 2 * v) }, /crown\.frame must end in 0, 0, 0, 1/],
    [
      { frame: [-1, ...ROWS.slice(1)] },
      /crown\.frame must turn and move only: it has scale, shear or a mirror/,
    ],
    [{ marks: [] }, /crown\.marks must be an object/],
    [{ marks: { zenith: [0, 0] } }, /crown\.marks\.zenith must be three numbers/],
    [{ marks: { edgeDistal: [0, 'x', 0] } }, /crown\.marks\.edgeDistal\[1\] must be a number, got "x"/],
  ]
  for (const [change, says] of cases)
    test(JSON.stringify(change), () => {
      const text = changed('crown', { ...MESH_CROWN, ...change })
      expect(() => readPlan(text)).toThrow(says)
      expect(() => readPlan(text)).toThrow(PlanError)
    })
})
