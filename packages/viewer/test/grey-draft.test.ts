import { expect, test } from 'vitest'
import { draftOf, emptyPoint, readDraft } from '../src/grey-calibration/draft.js'
import { readNumber } from '../src/grey-calibration/read-number.js'

test('numbers are read with point or comma, hyphen or minus, and spaces', () => {
  for (const [text, value] of [
    ['-1000', -1000],
    ['\u22121000', -1000],
    [' 12,5 ', 12.5],
    ['12.25', 12.25],
    ['1\u202f250', 1250],
    ['+40', 40],
    ['0,125', 0.125],
    ['.5', 0.5],
    ['7.', 7],
  ] as const)
    expect(readNumber(text)).toEqual({ value, problem: null })
  expect(readNumber(' ')).toEqual({ value: null, problem: null })
})

test('what can be read in two ways is not guessed', () => {
  expect(readNumber('1,250').problem).toBe('can be read in two ways: write 1250 or 1,25')
  expect(readNumber('-1.000').problem).toBe('can be read in two ways: write -1000 or -1.00')
})

test('what is no number is said', () => {
  for (const text of ['air', '1e3', '1-2', '1,2,3', '--4', 'NaN', 'Infinity', '0x10', ','])
    expect(readNumber(text)).toEqual({ value: null, problem: `is no number: ${text}` })
})

test('two digits are shown, all are kept in the fields that are not typed in', () => {
  const points = [
    { what: 'air', grey: -998.4567, hu: -1000 },
    { what: 'water', grey: 10.1234, hu: 0 },
  ]
  const [air, water] = draftOf({ points })
  if (!air || !water) throw new Error('no rows')
  expect(air.grey).toBe('-998.46')
  const found = readDraft([air, { ...water, grey: '10,13' }], { points }).calibration?.points
  expect(found?.map(({ grey }) => grey)).toEqual([-998.4567, 10.13])
})

const row = (what: string, grey: string, hu: string, huSd = '', greySd = '') => ({
  ...emptyPoint,
  what,
  grey,
  hu,
  huSd,
  greySd,
})

test('rows become points, empty ones do not count', () => {
  const { calibration } = readDraft(
    [row(' air ', '-1000', '-1000'), emptyPoint, row('insert', '812,5', '850', '15', '22')],
    undefined,
  )
  expect(calibration).toEqual({
    points: [
      { what: 'air', grey: -1000, hu: -1000 },
      { what: 'insert', grey: 812.5, greySd: 22, hu: 850, huSd: 15 },
    ],
  })
})

test('what a plan holds beside is kept, a spread that was taken out is not', () => {
  const points = [
    { what: 'air', grey: -1000, hu: -1000, huSd: 10, place: [1, 2, 3] },
    { what: 'water', grey: 10, hu: 0 },
  ]
  const before = { points, note: 'first visit' }
  const [air, water] = draftOf(before)
  if (!air || !water) throw new Error('no rows')
  expect(readDraft([air, water], before).calibration).toEqual(before)
  expect(readDraft([{ ...air, huSd: '' }, water], before).calibration).toEqual({
    note: 'first visit',
    points: [{ what: 'air', grey: -1000, hu: -1000, place: [1, 2, 3] }, points[1]],
  })
})

test('problems are told in words, with their field', () => {
  const problem = (...rows: Parameters<typeof readDraft>[0]) => readDraft(rows, undefined).problem
  expect(problem(row('air', '-1000', '-1000'), row('', '', '40'))).toEqual({
    text: 'Point 2: the grey value is missing.',
    at: { row: 1, field: 'grey' },
  })
  expect(problem(row('air', '-1000', '-1000', '0'))).toEqual({
    text: 'air: the spread of the HU must be more than 0, or left empty.',
    at: { row: 0, field: 'huSd' },
  })
  expect(problem(row('air', '-1000', '-1000'))?.text).toBe('Two points are needed at least.')
  expect(problem(row('a', '5', '0'), row('b', '5', '40'))).toEqual({
    text: 'The points of a grey calibration must hold at least two different grey values.',
    at: null,
  })
  expect(problem(row('a', '5', '40'), row('b', '50', '0'))?.text).toMatch(/must make a rising line/)
})
