import { toWorld } from '@alveometer/core'
import { describe, expect, it } from 'vitest'
import {
  chiralMarks,
  chiralPhantom,
  chiralStorage,
  decimalString,
  uidFrom,
  writeSeries,
  zipSeries,
} from '../src/index.js'
import { obliqueVolume } from './oblique-volume.js'
import { folderOf, noPydicom, noValidator, runPython, validate } from './outside.js'

const readSeries = `
import sys, json, pathlib, pydicom
files = sorted(pathlib.Path(sys.argv[1]).iterdir())
out = []
for f in files:
    d = pydicom.dcmread(f)
    a = d.pixel_array.astype(int)
    out.append(dict(ipp=list(map(float, d.ImagePositionPatient)), iop=list(map(float, d.ImageOrientationPatient)),
        spacing=list(map(float, d.PixelSpacing)), shape=list(a.shape),
        grey=(a * int(d.RescaleSlope) + int(d.RescaleIntercept)).ravel().tolist(),
        stored=a.ravel().tolist(), padding=getattr(d, 'PixelPaddingValue', None)))
print(json.dumps(out))
`

interface ReadSlice {
  ipp: [number, number, number]
  iop: number[]
  spacing: [number, number]
  shape: [number, number]
  grey: number[]
  stored: number[]
  padding: number | null
}

describe('decimalString', () => {
  it('never takes more than the 16 bytes of PS3.5 section 6.2, and keeps what fits', () => {
    for (const v of [0.1 + 0.2, -1 / 3, -123456.789012345, 1.23e-15, -9.87654321e-120, 0.2, 45])
      expect(decimalString(v).length).toBeLessThanOrEqual(16)
    expect(Number(decimalString(-1 / 3))).toBeCloseTo(-1 / 3, 12)
    expect(decimalString(0.2)).toBe('0.2')
  })
})

describe('uidFrom', () => {
  it('is stable, different for different texts and a valid 2.25 UID of at most 64 characters', () => {
    expect(uidFrom('a')).toBe(uidFrom('a'))
    expect(uidFrom('a')).not.toBe(uidFrom('b'))
    expect(uidFrom('a')).toMatch(/^2\.25\.[1-9][0-9]{10,38}$/)
  })
})

describe('writeSeries', () => {
  it.skipIf(noValidator)('writes CT images that dciodvfy accepts', () => {
    const faults = [
      ...writeSeries(obliqueVolume()).slice(0, 1),
      ...writeSeries(chiralPhantom(), { storage: chiralStorage, fileName: () => 'chiral' }).slice(0, 1),
      ...writeSeries(chiralPhantom(), { syntax: 'rle', fileName: () => 'rle' }).slice(0, 1),
      ...writeSeries(chiralPhantom(), { syntax: 'implicitLittle', fileName: () => 'implicit' }).slice(0, 1),
    ].map((file) => validate(`${folderOf([file])}/${file.name}`))
    expect(faults).toEqual(faults.map(() => ({ errors: [], code: 0 })))
  })

  it.skipIf(noPydicom)(
    'is read back by pydicom: position, orientation, spacing and grey of every voxel',
    () => {
      const volume = obliqueVolume()
      const slices = runPython(readSeries, folderOf(writeSeries(volume))) as ReadSlice[]
      expect(slices.length).toBe(3)
      slices.forEach((slice, k) => {
        expect(slice.shape).toEqual([4, 5])
        expect(slice.padding).toBe(-2000)
        // PS3.3 C.7.6.2.1.1: the first spacing is between rows.
        const [betweenRows, betweenColumns] = slice.spacing
        for (let j = 0; j < 4; j++)
          for (let i = 0; i < 5; i++) {
            const at = [0, 1, 2].map(
              (a) =>
                (slice.ipp[a] as number) +
                i * betweenColumns * (slice.iop[a] as number) +
                j * betweenRows * (slice.iop[a + 3] as number),
            )
            const world = toWorld(volume.indexToWorld, [i, j, k])
            at.forEach((mm, a) => {
              expect(mm).toBeCloseTo(world[a] as number, 8)
            })
            const grey = volume.data[i + 5 * (j + 4 * k)]
            expect(slice.grey[i + 5 * j]).toBe(grey === -32768 ? -2000 : grey)
          }
      })
    },
  )

  it.skipIf(noPydicom).each(['implicitLittle', 'deflated', 'explicitBig'] as const)(
    'gives the same pixels as %s',
    (syntax) => {
      const expected = runPython(readSeries, folderOf(writeSeries(chiralPhantom()))) as ReadSlice[]
      const slices = runPython(readSeries, folderOf(writeSeries(chiralPhantom(), { syntax }))) as ReadSlice[]
      expect(slices).toEqual(expected)
    },
  )

  it.skipIf(noPydicom)('packs RLE so that pydicom unpacks the same pixels', () => {
    const expected = runPython(readSeries, folderOf(writeSeries(chiralPhantom()))) as ReadSlice[]
    const slices = runPython(
      readSeries,
      folderOf(writeSeries(chiralPhantom(), { syntax: 'rle' })),
    ) as ReadSlice[]
    expect(slices.map((s) => s.stored)).toEqual(expected.map((s) => s.stored))
  })

  it('changes, empties and removes elements slice by slice', () => {
    const volume = chiralPhantom()
    const plain = writeSeries(volume)
    const changed = writeSeries(volume, {
      slices: [3, 1],
      overrides: (k) => ({
        SliceThickness: undefined,
        SpacingBetweenSlices: -0.3,
        InstanceNumber: k === 1 ? null : 9,
      }),
    })
    expect(changed.map((f) => f.name)).toEqual(['IM0001.dcm', 'IM0002.dcm'])
    expect(changed[0]?.bytes).not.toEqual(plain[3]?.bytes)
    expect(() => writeSeries(volume, { overrides: { NoSuchThing: 1 } })).toThrow(/NoSuchThing/)
  })

  it('refuses grey values that do not fit the storage', () => {
    const storage = { signed: false, bitsStored: 8, intercept: -1000, padding: 0 }
    expect(() => writeSeries(chiralPhantom(), { storage })).toThrow(/does not fit 8 bits/)
  })
})

describe('zipSeries', () => {
  it('makes the same archive every time', () => {
    const files = writeSeries(chiralPhantom(), { slices: [0, 1] })
    expect(zipSeries(files)).toEqual(zipSeries(files))
  })
})

describe('chiralPhantom', () => {
  it.skipIf(noPydicom)('keeps its three marks at their world points through the files', () => {
    const slices = runPython(
      readSeries,
      folderOf(writeSeries(chiralPhantom(), { storage: chiralStorage })),
    ) as ReadSlice[]
    for (const mark of chiralMarks) {
      const found: number[][] = []
      slices.forEach((slice) => {
        slice.grey.forEach((grey, n) => {
          if (grey !== mark.grey) return
          const [x, y, z] = slice.ipp
          found.push([x + 0.3 * (n % 32), y + 0.3 * Math.floor(n / 32), z])
        })
      })
      expect(found.length).toBe(8)
      const mean = [0, 1, 2].map((a) => found.reduce((sum, p) => sum + (p[a] as number), 0) / 8)
      mean.forEach((mm, a) => {
        expect(mm).toBeCloseTo(mark.world[a] as number, 9)
      })
    }
  })
})
