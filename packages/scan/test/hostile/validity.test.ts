import { mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { createVolume, fromFrame } from '@alveometer/core'
import {
  chiralStorage,
  type Dataset,
  type NamedBytes,
  type SeriesOptions,
  writeSeries,
} from '@alveometer/phantom'
import { afterAll, describe, expect, it } from 'vitest'
import { describeWithPython } from '../../../../tests/outside-python.js'
import { dump, noDcmtk, noValidator, validate } from '../../../phantom/test/outside.js'
import { chiralFiles, inSlice, phantom } from '../chiral.js'

const work = mkdtempSync(join(tmpdir(), 'alveometer-validity-'))
afterAll(() => rmSync(work, { recursive: true }))

/** Inputs that look odd and are sound: a reader that stumbles over one of them is to blame itself. */
const sound: Readonly<Record<string, SeriesOptions>> = {
  'all Instance Numbers equal': { overrides: { InstanceNumber: 1 } },
  'Instance Number empty': { overrides: { InstanceNumber: '' } },
  'Spacing Between Slices beside the positions': { overrides: { SpacingBetweenSlices: 5 } },
  'Slice Thickness unlike the step': { overrides: { SliceThickness: 1 } },
  'pixels that are not square': { overrides: { PixelSpacing: [0.4, 0.25] } },
  'coronal storage': { overrides: { ImageOrientationPatient: [1, 0, 0, 0, 0, -1] } },
  'both axes backwards': { overrides: { ImageOrientationPatient: [-1, 0, 0, 0, -1, 0] } },
  'a sheared stack': { overrides: (k) => ({ ImagePositionPatient: [0, 0.05 * k, 0.3 * k] }) },
  'a slope below 1': { overrides: { RescaleSlope: 0.25 } },
  'an intercept of its own': { overrides: inSlice(0, { RescaleIntercept: 0 }) },
  'inverted display': { overrides: { PhotometricInterpretation: 'MONOCHROME1' } },
  'Smallest Image Pixel Value far off': {
    overrides: { SmallestImagePixelValue: 900, LargestImagePixelValue: 1000 },
  },
  'lossy once': {
    overrides: {
      LossyImageCompression: '01',
      '00282112': { vr: 'DS', value: '10' },
      '00282114': { vr: 'CS', value: 'ISO_10918_1' },
    },
  },
  'implicit little endian': { syntax: 'implicitLittle' },
  'big endian': { syntax: 'explicitBig' },
  deflated: { syntax: 'deflated' },
  'run lengths': { syntax: 'rle' },
}

const padded = createVolume({
  data: Int16Array.from(phantom.data, (v, p) =>
    Math.hypot((p % 32) - 15.5, (Math.floor(p / 32) % 32) - 15.5) <= 12 ? v : -2000,
  ),
  shape: phantom.shape,
  indexToWorld: phantom.indexToWorld,
  noData: -2000,
})
const oblique = createVolume({
  data: phantom.data,
  shape: phantom.shape,
  indexToWorld: fromFrame([0.24, 0.18, 0], [-0.18, 0.24, 0], [0, 0, 0.3], [5, -7, 11]),
})

const first = (files: readonly NamedBytes[]): NamedBytes => files[0] as NamedBytes
const files: readonly (readonly [string, NamedBytes])[] = [
  ...Object.entries(sound).map(([name, options]) => [name, first(chiralFiles(options))] as const),
  ['signed, with padding', first(writeSeries(padded))],
  ['oblique', first(writeSeries(oblique, { storage: chiralStorage }))],
]

function onDisk({ name, bytes }: NamedBytes): string {
  const path = join(work, name)
  writeFileSync(path, bytes)
  return path
}

describe.skipIf(noValidator || noDcmtk)('odd inputs that are sound', () => {
  it.each(files)('%s: valid by dciodvfy, read by dcmdump without complaint', (name, file) => {
    const path = onDisk(file)
    // dciodvfy is built without what unpacks deflated data sets.
    if (name !== 'deflated') expect(validate(path).errors).toEqual([])
    const { complaints, code } = dump(path)
    expect(complaints).toBe('')
    expect(code).toBe(0)
  })
})

describeWithPython('bits, as pydicom and NumPy see them', ['pydicom', 'numpy'], (run) => {
  const rewritten = (change: (word: number) => number, more: Dataset = {}) =>
    first(
      chiralFiles({
        slices: [11],
        overrides: (_, slice) => {
          const bytes = Uint8Array.from(slice.PixelData as Uint8Array)
          const view = new DataView(bytes.buffer)
          for (let at = 0; at < bytes.length; at += 2)
            view.setUint16(at, change(view.getUint16(at, true)) & 0xffff, true)
          return { ...more, PixelData: bytes }
        },
      }),
    )

  it.each([
    ['bits above Bits Stored', rewritten((w) => w | 0xf000)],
    ['values in the upper bits', rewritten((w) => (w << 4) | 9, { HighBit: 15 })],
    [
      '12 bits, signed',
      rewritten((w) => (w - 1000) & 0xfff, { PixelRepresentation: 1, RescaleIntercept: 0 }),
    ],
  ] as const)('%s: the greys of slice 11 of the phantom', (_, file) => {
    const grey = JSON.parse(
      run(
        `
import sys, json, pydicom
d = pydicom.dcmread(sys.argv[1])
w = d.pixel_array.astype(int) & 0xffff
v = (w >> (d.HighBit + 1 - d.BitsStored)) & (2 ** d.BitsStored - 1)
if d.PixelRepresentation: v = v - 2 ** d.BitsStored * (v >> (d.BitsStored - 1))
print(json.dumps((v * int(d.RescaleSlope) + int(d.RescaleIntercept)).ravel().tolist()))
`,
        [onDisk(file)],
      ),
    )
    expect(grey).toEqual(Array.from(phantom.data.subarray(11 * 1024, 12 * 1024)))
  })
})
