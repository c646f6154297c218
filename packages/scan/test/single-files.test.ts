import { readdirSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { describeWithData } from '../../../tests/shared-data.js'
import { readFrames } from '../src/decode/index.js'
import { greyOf, rescaleOf } from '../src/grey/index.js'
import { readHeader, type SliceHeader } from '../src/headers/index.js'
import { inputsFromPath, nodeDecoder } from '../src/node.js'

// Expected numbers in this file were measured with pydicom, gdcm and dcmtk; they stand in the data's own notes.

interface SingleImage {
  readonly grey: Float64Array
  /** Stored values: masked and sign-extended, not rescaled. */
  readonly stored: Float64Array
  readonly rescale: { readonly slope: number; readonly intercept: number }
}

/** The one image in a file, in float64. */
async function imageIn(path: string): Promise<SingleImage> {
  const [input] = await inputsFromPath(path)
  if (!input) throw new Error(`${path} is not there`)
  const result = await readHeader(input)
  if (result.kind !== 'image') throw new Error(`${path} is ${result.kind}`)
  const header = result.slices[0] as SliceHeader
  const rescale = rescaleOf(header)
  const grey = new Float64Array(header.layout.rows * header.layout.columns)
  const stored = new Float64Array(grey.length)
  for await (const frame of readFrames([header], nodeDecoder())) {
    greyOf(frame, header, rescale, grey)
    greyOf(frame, header, { slope: 1, intercept: 0 }, stored)
  }
  return { grey, stored, rescale }
}

async function expectFacts(path: string, minimum: number, maximum: number, sum: number) {
  const { grey, stored, rescale } = await imageIn(path)
  const found = { minimum: Number.POSITIVE_INFINITY, maximum: Number.NEGATIVE_INFINITY }
  for (const value of grey) {
    found.minimum = Math.min(found.minimum, value)
    found.maximum = Math.max(found.maximum, value)
  }
  // The notes give four decimals of the range.
  expect(found.minimum).toBeCloseTo(minimum, 4)
  expect(found.maximum).toBeCloseTo(maximum, 4)
  // A sum of rescaled values is known to three decimals, which fixes the sum of the stored whole numbers exactly.
  const storedSum = stored.reduce((a, b) => a + b, 0)
  expect(storedSum).toBe(Math.round((sum - rescale.intercept * grey.length) / rescale.slope))
}

describeWithData('one CT slice in 15 transfer syntaxes', 'ct-transfer-syntaxes', (folder) => {
  const lossy: Readonly<Record<string, readonly [number, number, number]>> = {
    JPEG2000: [-3027, 1377, -248809088],
    JPEGLSLossy: [-3025, 1377, -248761732],
    JPEGProcess10_12: [-3052.8786, 1369.6613, -249065267.475],
    JPEGProcess1: [-3083.352, 1349.4288, -253720533.811],
    JPEGProcess2_4: [-3052.8786, 1369.6613, -249065267.475],
    JPEGProcess6_8: [-3052.8786, 1369.6613, -249065267.475],
  }
  const files = readdirSync(folder).filter((f) => f.endsWith('.dcm'))

  it('are all here', () => expect(files).toHaveLength(15))

  it.each(files)('%s', async (file) => {
    const kind = file.slice(0, file.indexOf('_1.2.840'))
    await expectFacts(join(folder, file), ...(lossy[kind] ?? ([-3024, 1378, -248794693] as const)))
    if (lossy[kind]) return
    const { grey } = await imageIn(join(folder, file))
    for (const [row, column, value] of [
      [256, 256, 67],
      [300, 200, 74],
      [150, 350, -957],
      [400, 256, -88],
      [256, 120, 37],
      [5, 5, -3024],
    ] as const)
      expect(grey[row * 512 + column]).toBe(value)
  })
})

describeWithData('12 bits stored, with something above them', 'twelve-bits-with-high-bits-set', (folder) => {
  it.each([
    ['12bitSigned_0x0F0F.dcm', -2048, 2047, 38125324],
    ['12bitUnsigned.dcm', 0, 2908, 39116505],
    ['12bitUnsigned_0x0F0F.dcm', 0, 4095, 40476428],
  ] as const)('%s', (file, minimum, maximum, sum) => expectFacts(join(folder, file), minimum, maximum, sum))
})

describeWithData('files without preamble', 'no-preamble', (folder) => {
  it.each([
    ['ct-implicit-no-preamble.dcm', -1024, 1226, -197319300],
    ['ct-same-with-preamble.dcm', -1024, 1226, -197319300],
    ['ct-small-with-meta.dcm', -896, 1167, -1950906],
  ] as const)('%s', (file, minimum, maximum, sum) => expectFacts(join(folder, file), minimum, maximum, sum))

  it.each([
    ['meta-without-transfer-syntax.dcm', 'unreadable'],
    ['no-meta-group-length.dcm', 'no-image'],
    // A stray byte comes before its first element: no DICOM reader can know it for what it is.
    ['ct-small-no-meta.dcm', 'unreadable'],
  ] as const)('%s is %s', async (file, kind) => {
    const [input] = await inputsFromPath(join(folder, file))
    expect(input && (await readHeader(input)).kind).toBe(kind)
  })
})

describeWithData('odd files', 'odd-dicom', (folder) => {
  it.each([
    ['MR_small.dcm', 127, 2145, 2125338],
    ['MR_small_bigendian.dcm', 127, 2145, 2125338],
    ['MR_small_implicit.dcm', 127, 2145, 2125338],
    ['MR_small_padded.dcm', 127, 2145, 2125338],
    ['bad_sequence.dcm', -1011, 1243, -20086954],
    ['explicit_VR-UN.dcm', -1024, 1186, -175887460],
  ] as const)('%s', (file, minimum, maximum, sum) => expectFacts(join(folder, file), minimum, maximum, sum))
})
