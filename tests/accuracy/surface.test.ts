import { expect, test } from 'vitest'
import { bars } from './bars.js'
import { NOTHING, someFindings } from './some-findings.js'
import { gridName, nearestStudy, ridgeStudy } from './studies/index.js'

// The bars of docs/accuracy.md with one seed of their cases: which surface, and the shortest way to it.
test('voids in the marrow, pinholes, other bone and thin gum: every ray on the outer surface, p95 within 0.04 mm', async () => {
  const names = ridgeStudy.cases.map((it) => it.name)
  const asked = bars({ ...NOTHING, voids: await someFindings(ridgeStudy, names, 1) }, 'refined')
  expect(asked.filter((bar) => !bar.met)).toEqual([])
  expect(asked).toHaveLength(2)
})

test('shortest distance from the fixture to an ellipse and a wedge: bias within 0.01 mm, SD within 0.015 mm', async () => {
  const names = ['ellipse', 'wedge'].map((shape) => `${shape} ${gridName(0.2, 0.25, 100)}`)
  const asked = bars({ ...NOTHING, nearest: await someFindings(nearestStudy, names, 1) }, 'refined')
  expect(asked.filter((bar) => !bar.met)).toEqual([])
  expect(asked).toHaveLength(2)
})
