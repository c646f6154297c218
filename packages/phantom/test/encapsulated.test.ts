import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { encapsulate, type MultiFrameOptions, writeMultiFrame, writeSeries } from '../src/index.js'
import { expectOblique, read, written } from './frames-outside.js'
import { obliqueVolume } from './oblique-volume.js'
import { dump, folderOf, noDcmtk, noPydicom, runDcmtk, runPython } from './outside.js'

const shuffled = [2, 0, 1]

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
