import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import {
  chiralPhantom,
  type Dataset,
  type MultiFrameObject,
  type MultiFrameOptions,
  secondaryCapture,
  writeMultiFrame,
  writeSeries,
} from '../src/index.js'
import { expectOblique, readBack, written } from './frames-outside.js'
import { obliqueVolume } from './oblique-volume.js'
import { dump, folderOf, noDcmtk, noPydicom, noValidator, validate } from './outside.js'

const validObjects = [
  'EnhancedCT',
  'LegacyConvertedEnhancedCT',
  'XRay3DCraniofacial',
  'XRay3DAngiographic',
  'MultiFrameGrayscaleWordSC',
] as const satisfies readonly MultiFrameObject[]
const objects = [...validObjects, 'CTWithFrames'] as const
const shuffled = [2, 0, 1]

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
