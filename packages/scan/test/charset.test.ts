import { expect, it } from 'vitest'
import { inspectScan } from '../src/index.js'
import { chiralFiles, inputsOf } from './chiral.js'

const bytes = (...values: number[]) => ({ vr: 'LO', value: Uint8Array.from(values) })

// Bytes by hand from the code tables: "Zähne " in ISO 8859-1, "Зуб " in ISO 8859-5, "歯 " in JIS X 0208 with escapes.
it.each([
  ['ISO_IR 100', bytes(0x5a, 0xe4, 0x68, 0x6e, 0x65, 0x20), 'Zähne'],
  ['ISO_IR 144', bytes(0xb7, 0xe3, 0xd1, 0x20), 'Зуб'],
  ['ISO_IR 192', 'Zähne', 'Zähne'],
  ['\\ISO 2022 IR 87', bytes(0x1b, 0x24, 0x42, 0x3b, 0x75, 0x1b, 0x28, 0x42), '歯'],
  ['ISO_IR 192', bytes(0x5a, 0xe4, 0x68, 0x6e, 0x65, 0x20), ''],
  ['NO SUCH SET', bytes(0x5a, 0x61), ''],
])('series description in %s: %s', async (set, value, text) => {
  const overrides = {
    SpecificCharacterSet: set.includes('\\') ? ['', set.slice(1)] : set,
    SeriesDescription: value,
  }
  const { series } = await inspectScan(inputsOf(chiralFiles({ overrides })))
  expect(series[0]?.description).toBe(text)
})
