import { expect, it } from 'vitest'
import { greyOf } from '../src/grey/index.js'

// 12 of 16 bits stored; the padding value does not fit in 12 bits, so it stands in the file as a whole word. The words
// are written out by hand: -3000 is F448, whose low 12 bits, 448, are also the stored value 1096.
it.each([
  ['signed', true, -3000, [0xf448, 0x0448, 0x0fff, 0xf800], [Number.NaN, 2092, -102, -4196]],
  ['unsigned', false, 0xf448, [0xf448, 0x0448, 0x0fff, 0xf800], [Number.NaN, 2092, 8090, 3996]],
] as const)(
  'padding as a whole %s word is told from a value with the same low bits',
  (_, signed, value, words, grey) => {
    const layout = {
      rows: 2,
      columns: 2,
      frames: 1,
      samplesPerPixel: 1,
      bitsAllocated: 16,
      bitsStored: 12,
      highBit: 11,
      signed,
      photometric: 'MONOCHROME2',
    }
    const out = new Float64Array(4)
    const frame = { pixels: Uint16Array.from(words), packed: true }
    const range = greyOf(frame, { layout, padding: [value, value] }, { slope: 2, intercept: -100 }, out)
    expect([...out]).toEqual([...grey])
    expect(range).toEqual({
      padded: 1,
      minimum: Math.min(...grey.slice(1)),
      maximum: Math.max(...grey.slice(1)),
    })
  },
)
