import { join } from 'node:path'
import { toWorld, type Volume } from '@alveometer/core'
import { expect } from 'vitest'
import { type MultiFrameOptions, writeMultiFrame } from '../src/index.js'
import { obliqueVolume } from './oblique-volume.js'
import { folderOf, runPython } from './outside.js'

/** The file a volume was written to. */
export function written(volume: Volume, options: MultiFrameOptions): string {
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

export interface Frame {
  readonly position: number[] | null
  readonly orientation: number[] | null
  readonly spacing: [number, number] | null
  readonly slope: number | null
  readonly intercept: number | null
  readonly window: number | null
  readonly stored: number[]
}

export interface Read {
  readonly frames: Frame[]
  readonly shape: number[]
  readonly count: string
  readonly padding: number | null
  readonly shared: string[]
  readonly per: string[][]
  readonly top: string[]
  readonly syntax: string
}

export const read = (path: string) => runPython(readFrames, path) as Read
export const readBack = (volume: Volume, options: MultiFrameOptions) => read(written(volume, options))

/** Every voxel of the oblique volume at its place, with its value. */
export function expectOblique(back: Read, order: readonly number[]): void {
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
