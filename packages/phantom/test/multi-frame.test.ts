import { join } from 'node:path'
import { toWorld, type Volume } from '@alveometer/core'
import { describe, expect, it } from 'vitest'
import {
  chiralPhantom,
  type Dataset,
  encapsulate,
  type MultiFrameObject,
  type MultiFrameOptions,
  secondaryCapture,
  writeMultiFrame,
  writeSeries,
} from '../src/index.js'
import { obliqueVolume } from './oblique-volume.js'
import { dump, folderOf, noDcmtk, noPydicom, noValidator, runDcmtk, runPython, validate } from './outside.js'

const validObjects = [
  'EnhancedCT',
  'LegacyConvertedEnhancedCT',
  'XRay3DCraniofacial',
  'XRay3DAngiographic',
  'MultiFrameGrayscaleWordSC',
] as const satisfies readonly MultiFrameObject[]
const objects = [...validObjects, 'CTWithFrames'] as const
const shuffled = [2, 0, 1]

function written(volume: Volume, options: MultiFrameOptions): string {
  const file = writeMultiFrame(volume, options)
  return join(folderOf([file]), file.name)
}

/**
 * Each frame as pydicom and NumPy see it. A macro is looked for in the shared groups, then in those of the frame
 * (PS3.3 C.7.6.16); what no macro says is taken from the top.
 */
const readFrames = `
import sys, json, pydicom
d = pydicom.dcmread(sys.argv[1])
a = d.pixel_array.astype(int)
shared = d.get('SharedFunctionalGroupsSequence')
per = d.get('PerFrameFunctionalGroupsSequence')
def value(n, macro, keyword):
    for groups, i in ((shared, 0), (per, n)):
        if groups and macro in groups[i]:
            v = groups[i][macro].value[0].get(keyword)
            if v is not None: return v
    return d.get(keyword)
def numbers(v): return None if v is None else [float(x) for x in v]
def number(v): return None if v is None else float(v)
frames = []
for n in range(len(a)):
    frames.append(dict(
        position=numbers(value(n, 'PlanePositionSequence', 'ImagePositionPatient')),
        orientation=numbers(value(n, 'PlaneOrientationSequence', 'ImageOrientationPatient')),
        spacing=numbers(value(n, 'PixelMeasuresSequence', 'PixelSpacing')),
        slope=number(value(n, 'PixelValueTransformationSequence', 'RescaleSlope')),
        intercept=number(value(n, 'PixelValueTransformationSequence', 'RescaleIntercept')),
        window=number(value(n, 'FrameVOILUTSequence', 'WindowWidth')),
        stored=a[n].ravel().tolist()))
print(json.dumps(dict(frames=frames, shape=list(a.shape), count=str(d.NumberOfFrames), padding=d.get('PixelPaddingValue'),
    shared=[] if not shared else [e.keyword for e in shared[0]],
    per=[] if not per else [[e.keyword for e in item] for item in per],
    top=[e.keyword for e in d], syntax=d.file_meta.TransferSyntaxUID)))
`

interface Frame {
  readonly position: number[] | null
  readonly orientation: number[] | null
  readonly spacing: [number, number] | null
  readonly slope: number | null
  readonly intercept: number | null
  readonly window: number | null
  readonly stored: number[]
}

interface Read {
  readonly frames: Frame[]
  readonly shape: number[]
  readonly count: string
  readonly padding: number | null
  readonly shared: string[]
  readonly per: string[][]
  readonly top: string[]
  readonly syntax: string
}

const read = (path: string) => runPython(readFrames, path) as Read
const readBack = (volume: Volume, options: MultiFrameOptions) => read(written(volume, options))

/** Every voxel of the oblique volume at its place, with its value. */
function expectOblique(back: Read, order: readonly number[]): void {
  const volume = obliqueVolume()
  expect(back.shape).toEqual([order.length, 4, 5])
  back.frames.forEach((frame, n) => {
    const k = order[n] as number
    const [x, y, z] = frame.position as number[]
    const cosines = frame.orientation as number[]
    // PS3.3 C.7.6.2.1.1: the first spacing is between rows.
    const [betweenRows, betweenColumns] = frame.spacing as [number, number]
    for (let j = 0; j < 4; j++)
      for (let i = 0; i < 5; i++) {
        const world = toWorld(volume.indexToWorld, [i, j, k])
        const at = [x, y, z].map(
          (start, a) =>
            (start as number) +
            i * betweenColumns * (cosines[a] as number) +
            j * betweenRows * (cosines[a + 3] as number),
        )
        at.forEach((mm, a) => {
          expect(mm).toBeCloseTo(world[a] as number, 8)
        })
        const stored = frame.stored[i + 5 * j] as number
        const grey = volume.data[i + 5 * (j + 4 * k)]
        if (grey === volume.noData) expect(stored).toBe(back.padding)
        else expect(stored * (frame.slope as number) + (frame.intercept as number)).toBe(grey)
      }
  })
}

describe('writeMultiFrame', () => {
  describe.skipIf(noValidator)('is valid for dciodvfy', () => {
    const variants: Readonly<Record<string, Partial<MultiFrameOptions>>> = {
      'as it stands': {},
      'frames in another order': { frameOrder: shuffled },
      'implicit VR, undefined lengths': { syntax: 'implicitLittle', lengths: 'undefined' },
      'RLE, extended offset table': { syntax: 'rle', offsetTable: 'extended' },
    }
    it.each(validObjects.flatMap((object) => Object.keys(variants).map((name) => [object, name] as const)))(
      '%s, %s',
      (object, name) => {
        expect(validate(written(obliqueVolume(), { object, ...variants[name] }))).toEqual({
          errors: [],
          code: 0,
        })
      },
    )

    // PS3.3 A.3: a CT Image has no Multi-frame module.
    it('but for a CT Image with frames, whose number of frames is at fault', () => {
      const { errors } = validate(written(obliqueVolume(), { object: 'CTWithFrames' }))
      expect(errors).toEqual([
        'Error - </NumberOfFrames(0028,0008)[1]> - Unrecognized enumerated value = <0x3>',
      ])
    })
  })

  describe.skipIf(noDcmtk)('is read by dcmdump without a complaint', () => {
    it.each(objects)('%s', (object) => {
      for (const lengths of ['explicit', 'undefined'] as const)
        for (const syntax of ['explicitLittle', 'explicitBig', 'rle'] as const)
          expect(dump(written(obliqueVolume(), { object, lengths, syntax }))).toMatchObject({
            complaints: '',
            code: 0,
          })
    })
  })

  describe.skipIf(noPydicom)('is read back by pydicom and NumPy', () => {
    it.each(validObjects)('%s: place and value of every voxel, frames in any order', (object) => {
      expectOblique(readBack(obliqueVolume(), { object }), [0, 1, 2])
      expectOblique(readBack(obliqueVolume(), { object, frameOrder: shuffled }), shuffled)
    })

    it.each([
      { syntax: 'implicitLittle' },
      { syntax: 'deflated' },
      { syntax: 'explicitBig', lengths: 'undefined' },
      { syntax: 'rle' },
      { lengths: 'undefined' },
    ] as const)('the same with %o', (options) => {
      expectOblique(readBack(obliqueVolume(), { object: 'EnhancedCT', ...options }), [0, 1, 2])
    })

    it('frames left out stay away with their groups', () => {
      expectOblique(readBack(obliqueVolume(), { object: 'EnhancedCT', frameOrder: [2, 0] }), [2, 0])
    })

    it('unsigned storage, and a window for every frame', () => {
      const storage = { signed: false, bitsStored: 12, intercept: -1000, padding: 4095 }
      const back = readBack(obliqueVolume(), { object: 'XRay3DCraniofacial', storage })
      expectOblique(back, [0, 1, 2])
      expect(back.padding).toBe(4095)
      expect(back.frames.map((frame) => frame.window)).toEqual([4000, 4000, 4000])
    })
  })

  describe.skipIf(noPydicom)('puts each macro', () => {
    const object = 'EnhancedCT'
    const macros = {
      pixelMeasures: ['PixelMeasuresSequence', 'PixelSpacing'],
      planePosition: ['PlanePositionSequence', 'ImagePositionPatient'],
      planeOrientation: ['PlaneOrientationSequence', 'ImageOrientationPatient'],
      rescale: ['PixelValueTransformationSequence', 'RescaleSlope'],
      frameVoiLut: ['FrameVOILUTSequence', 'WindowWidth'],
    } as const
    it.each(Object.entries(macros))('%s where it is told to', (name, [sequence, attribute]) => {
      for (const place of ['shared', 'per-frame', 'top-level', 'absent'] as const) {
        const { shared, per, top } = readBack(obliqueVolume(), { object, places: { [name]: place } })
        expect(shared.includes(sequence)).toBe(place === 'shared')
        expect(per.map((item) => item.includes(sequence))).toEqual(Array(3).fill(place === 'per-frame'))
        expect(top.includes(attribute)).toBe(place === 'top-level')
      }
    })

    it('in no group: then there are no groups', () => {
      const { top } = readBack(obliqueVolume(), { object: 'CTWithFrames' })
      expect(top).not.toContain('SharedFunctionalGroupsSequence')
      expect(top).not.toContain('PerFrameFunctionalGroupsSequence')
    })
  })

  describe.skipIf(noPydicom)('makes faults', () => {
    const object = 'EnhancedCT'

    it('one frame with another rescale, one shifted', () => {
      const { frames } = readBack(obliqueVolume(), {
        object,
        places: { rescale: 'per-frame' },
        frameOrder: shuffled,
        frameOverrides: (k, { planePosition }) => {
          if (k === 0) return { rescale: { RescaleSlope: 0.25, RescaleIntercept: -3 } }
          const [x, y, z] = planePosition.ImagePositionPatient as number[]
          return k === 1 ? { planePosition: { ImagePositionPatient: [x, y, (z as number) + 0.05] } } : {}
        },
      })
      expect(frames.map(({ slope, intercept }) => [slope, intercept])).toEqual([
        [1, 0],
        [0.25, -3],
        [1, 0],
      ])
      expect(frames.map(({ position }) => position?.[2])).toEqual([13.3, 12.3, 12.85])
    })

    it('a macro in both groups, the two disagreeing; a macro left out of one frame', () => {
      const { shared, per } = readBack(obliqueVolume(), {
        object,
        frameOverrides: (k) =>
          k === 1 ? { pixelMeasures: { PixelSpacing: [0.5, 0.5] }, planePosition: null } : {},
      })
      expect(shared).toContain('PixelMeasuresSequence')
      expect(per.map((item) => item.includes('PixelMeasuresSequence'))).toEqual([false, true, false])
      expect(per.map((item) => item.includes('PlanePositionSequence'))).toEqual([true, false, true])
    })

    it.skipIf(noDcmtk)('elements at the top: a false number of frames, a step', () => {
      const lines = (overrides: MultiFrameOptions['overrides']) =>
        dump(written(obliqueVolume(), { object, overrides }))
          .text.split('\n')
          .filter((line) => /(NumberOfFrames|SpacingBetweenSlices)$/.test(line))
          .map((line) => line.match(/\[.*\]/)?.[0])
      expect(lines({ NumberOfFrames: 25, SpacingBetweenSlices: -0.3 })).toEqual(['[-0.3]', '[25]'])
      expect(lines(({ NumberOfFrames }) => ({ NumberOfFrames: Number(NumberOfFrames) - 1 }))).toEqual(['[2]'])
    })

    it('a CT Image with frames: the place of its first frame, or of none', () => {
      const positions = (options: Partial<MultiFrameOptions>) =>
        readBack(obliqueVolume(), { object: 'CTWithFrames', ...options }).frames.map(
          (frame) => frame.position,
        )
      const first = [-3.1, 7.7, 12.3]
      expect(positions({})).toEqual([first, first, first])
      expect(positions({ places: { planePosition: 'absent' } })).toEqual([null, null, null])
    })
  })

  it('files of one volume are told apart: by their frames, and their object by its series', () => {
    const uids = (options: MultiFrameOptions) => {
      let elements: Dataset = {}
      writeMultiFrame(obliqueVolume(), {
        ...options,
        overrides: (all) => {
          elements = all
          return {}
        },
      })
      return [elements.SeriesInstanceUID, elements.SOPInstanceUID]
    }
    const [series, instance] = uids({ object: 'EnhancedCT', frameOrder: [0, 1] })
    const [sameSeries, otherInstance] = uids({ object: 'EnhancedCT', frameOrder: [2] })
    expect(sameSeries).toBe(series)
    expect(otherInstance).not.toBe(instance)
    expect(uids({ object: 'XRay3DCraniofacial' })[0]).not.toBe(series)
  })
})

describe('encapsulated frames', () => {
  const jpegLs = '1.2.840.10008.1.2.4.80'
  const frames = [5, 300, 8].map((length, n) => Uint8Array.from({ length }, (_, i) => (i * 7 + n) & 0xff))
  const even = frames.map((frame) => frame.subarray(0, frame.length - (frame.length % 2)))

  /** Pixel Data and offset tables by pydicom, as hexadecimal. */
  const byPydicom = `
import sys, json
from pydicom.encaps import encapsulate, encapsulate_extended
frames = [bytes.fromhex(h) for h in sys.argv[2:]]
data = {'basic': lambda: [encapsulate(frames)], 'empty': lambda: [encapsulate(frames, has_bot=False)],
    'extended': lambda: encapsulate_extended(frames)}[sys.argv[1]]()
print(json.dumps([x.hex() for x in data]))
`
  const hex = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex')

  /** The values of three elements as they stand in a file; Pixel Data without its end mark, which pydicom leaves out. */
  const inFile = `
import sys, json, pydicom
from pydicom.encaps import generate_pixel_data_fragment, generate_pixel_data_frame, get_frame_offsets
from pydicom.filebase import DicomBytesIO
d = pydicom.dcmread(sys.argv[1])
bytesio = DicomBytesIO(d.PixelData); bytesio.is_little_endian = True
get_frame_offsets(bytesio)
print(json.dumps(dict(pixels=d.PixelData.hex(),
    table=d.get('ExtendedOffsetTable', b'').hex(), lengths=d.get('ExtendedOffsetTableLengths', b'').hex(),
    fragments=[f.hex() for f in generate_pixel_data_fragment(bytesio)],
    frames=[f.hex() for f in generate_pixel_data_frame(d.PixelData, int(d.NumberOfFrames))])))
`
  const fileOf = (encodedFrames: readonly Uint8Array[], options: Partial<MultiFrameOptions>) =>
    runPython(
      inFile,
      written(obliqueVolume(), { object: 'EnhancedCT', encodedFrames, syntaxUid: jpegLs, ...options }),
    ) as Record<'pixels' | 'table' | 'lengths', string> & Record<'fragments' | 'frames', string[]>

  it.skipIf(noPydicom).each(['basic', 'empty', 'extended'] as const)(
    'with a table that is %s, as pydicom writes it',
    (offsetTable) => {
      const [pixels, table = '', lengths = ''] = runPython(
        byPydicom,
        offsetTable,
        ...even.map(hex),
      ) as string[]
      expect(fileOf(even, { offsetTable })).toMatchObject({ pixels, table, lengths })
    },
  )

  it.skipIf(noPydicom)('cut in three: pydicom joins them by the table', () => {
    const { fragments, frames: joined } = fileOf(even, { fragmentsPerFrame: 3 })
    expect(fragments.length).toBe(9)
    expect(joined).toEqual(even.map(hex))
  })

  it.skipIf(noPydicom)('in the order of the frames', () => {
    expect(fileOf(even, { frameOrder: shuffled }).frames).toEqual(
      shuffled.map((k) => hex(even[k] as Uint8Array)),
    )
  })

  // PS3.5 annex A.4: each item has an even length; 8 bytes of tag and length before it.
  it('of odd length count with their padding', () => {
    expect(encapsulate(frames).PixelData).toMatchObject({ offsets: [0, 14, 322] })
    expect(encapsulate(frames, { fragmentsPerFrame: 2 }).PixelData).toMatchObject({ offsets: [0, 22, 338] })
  })

  it('need a transfer syntax, and one for each slice', () => {
    expect(() => writeMultiFrame(obliqueVolume(), { object: 'EnhancedCT', encodedFrames: frames })).toThrow(
      /transfer syntax/,
    )
    expect(() =>
      writeMultiFrame(obliqueVolume(), {
        object: 'EnhancedCT',
        encodedFrames: frames.slice(1),
        syntaxUid: jpegLs,
      }),
    ).toThrow(/no compressed frame for slice 2/)
  })

  const firstFrame = `
import sys, json, pydicom
from pydicom.encaps import generate_pixel_data_frame
print(json.dumps(next(generate_pixel_data_frame(pydicom.dcmread(sys.argv[1]).PixelData, 1)).hex()))
`
  it
    .skipIf(noDcmtk || noPydicom)
    .each([
      { offsetTable: 'basic' },
      { offsetTable: 'extended' },
      { offsetTable: 'basic', fragmentsPerFrame: 3 },
      { offsetTable: 'empty', fragmentsPerFrame: 3 },
    ] as const)('compressed by dcmtk as JPEG-LS, %o: dcmtk gets the same voxels out', (layout) => {
    const volume = obliqueVolume()
    const encodedFrames = writeSeries(volume).map((slice) => {
      const folder = folderOf([slice])
      const packed = join(folder, 'packed')
      runDcmtk('dcmcjpls', join(folder, slice.name), packed)
      return Uint8Array.from(Buffer.from(runPython(firstFrame, packed) as string, 'hex'))
    })
    const path = written(volume, { object: 'EnhancedCT', encodedFrames, syntaxUid: jpegLs, ...layout })
    expect(dump(path)).toMatchObject({ complaints: '', code: 0 })
    runDcmtk('dcmdjpls', path, `${path}.native`)
    expectOblique(read(`${path}.native`), [0, 1, 2])
  })
})

describe('single secondary captures', () => {
  it.skipIf(noValidator || noDcmtk)('are valid and keep their geometry', () => {
    const files = writeSeries(chiralPhantom(), { slices: [3], overrides: secondaryCapture })
    const path = join(folderOf(files), 'IM0001.dcm')
    expect(validate(path)).toEqual({ errors: [], code: 0 })
    const { text } = dump(path)
    expect(text).toMatch(/=SecondaryCaptureImageStorage.*SOPClassUID/)
    expect(text).toMatch(/\[0\\0\\0\.9\].*ImagePositionPatient/)
    expect(text).toMatch(/\[0\.3\\0\.3\].*PixelSpacing/)
  })
})
