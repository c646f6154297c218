import { expect, test } from 'vitest'
import { bars } from './bars.js'
import { NOTHING, someFindings } from './some-findings.js'
import { densityStudy } from './studies/index.js'

test('mean grey of ramps, textures and plates against dense quadrature: within 0.5 %', async () => {
  const names = densityStudy.cases.map((it) => it.name)
  const asked = bars({ ...NOTHING, density: await someFindings(densityStudy, names, 1) }, 'refined')
  expect(asked.filter((bar) => !bar.met)).toEqual([])
  expect(asked).toHaveLength(1)
})
