import { chiralPhantom, chiralStorage, storedPixels } from '@alveometer/phantom'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { type BrowserDecoderOptions, browserDecoder, type CompressedImage } from '../src/index.js'
import { htj2kSlice } from './htj2k-slice.js'
import { jpegLsSlice } from './jpeg-ls-slice.js'

const layout = {
  rows: 32,
  columns: 32,
  frames: 1,
  samplesPerPixel: 1,
  bitsAllocated: 16,
  bitsStored: 12,
  highBit: 11,
  signed: false,
  photometric: 'MONOCHROME2',
}
const jpegLs: CompressedImage = {
  slice: 'slice',
  transferSyntaxUid: '1.2.840.10008.1.2.4.80',
  layout,
  codestream: jpegLsSlice,
}
const htj2k: CompressedImage = {
  ...jpegLs,
  transferSyntaxUid: '1.2.840.10008.1.2.4.201',
  codestream: htj2kSlice,
}
const expected = Array.from(storedPixels(chiralPhantom(), 11, chiralStorage))

const at = (path: string) => new URL(path, location.origin).href
const decoderOf = (options: Partial<BrowserDecoderOptions>) =>
  browserDecoder({
    assetsBaseUrl: at('/node_modules/@itk-wasm/dicom/dist/pipelines'),
    htj2kBaseUrl: at('/node_modules/@cornerstonejs/codec-openjph/dist'),
    ...options,
  })

/** A codestream whose middle is gone, its marks in place. */
const broken = { ...jpegLs, codestream: jpegLsSlice.map((byte, i) => (i > 60 && i < 300 ? 0xff : byte)) }

describe.each([0, 2])('with %i workers', (workers) => {
  it.each([
    ['JPEG-LS', jpegLs],
    ['High-Throughput JPEG 2000', htj2k],
  ])('decodes %s in the given order, with code from the given address', async (_, image) => {
    const decoder = decoderOf({ workers })
    expect(Array.from(await decoder.decode([image, image]))).toEqual([...expected, ...expected])
    // A second call reuses what was fetched.
    expect(Array.from(await decoder.decode([image]))).toEqual(expected)
    const foreign = performance
      .getEntriesByType('resource')
      .map(({ name }) => name)
      .filter((name) => !name.startsWith(location.origin) && !name.startsWith('data:'))
    expect(foreign).toEqual([])
    decoder.close()
  })

  it('is right again after a broken image', async () => {
    const decoder = decoderOf({ workers })
    await expect(decoder.decode([jpegLs, broken])).rejects.toThrow()
    expect(Array.from(await decoder.decode([jpegLs]))).toEqual(expected)
    decoder.close()
  })

  it('says so where the decoders are not served', async () => {
    const nowhere = at('/node_modules/nowhere')
    const decoder = decoderOf({ workers, assetsBaseUrl: nowhere, htj2kBaseUrl: nowhere })
    await expect(decoder.decode([jpegLs])).rejects.toMatchObject({ name: 'CodecMissing' })
    await expect(decoder.decode([htj2k])).rejects.toMatchObject({ name: 'CodecMissing' })
    decoder.close()
  })
})

it('several blocks at once come back to those who asked', async () => {
  const decoder = decoderOf({ workers: 2 })
  const blocks = await Promise.all([jpegLs, htj2k, jpegLs, htj2k, jpegLs].map((one) => decoder.decode([one])))
  for (const block of blocks) expect(Array.from(block)).toEqual(expected)
  decoder.close()
})

describe('workers', () => {
  afterEach(() => vi.unstubAllGlobals())

  /** The workers made from now on, and how many of them were ended. */
  function watchWorkers() {
    const made: { ended: boolean }[] = []
    const Original = Worker
    class Watched extends Original {
      readonly entry = { ended: false }
      constructor(url: string | URL, options?: WorkerOptions) {
        super(url, options)
        made.push(this.entry)
      }
      override terminate(): void {
        this.entry.ended = true
        super.terminate()
      }
    }
    vi.stubGlobal('Worker', Watched)
    return made
  }

  it('are ended by the signal', async () => {
    const made = watchWorkers()
    const decoder = decoderOf({ workers: 1 })
    const stop = new AbortController()
    const decoding = decoder.decode([jpegLs], stop.signal)
    await vi.waitFor(() => expect(made).toHaveLength(1))
    stop.abort()
    await expect(decoding).rejects.toMatchObject({ name: 'AbortError' })
    expect(made).toEqual([{ ended: true }])
  })

  it('end when the decoder is closed', async () => {
    const made = watchWorkers()
    const decoder = decoderOf({ workers: 2 })
    await Promise.all([decoder.decode([jpegLs]), decoder.decode([htj2k])])
    decoder.close()
    expect(made).toEqual([{ ended: true }, { ended: true }])
  })

  it.each([
    [
      'cannot be made',
      class {
        constructor() {
          throw new DOMException('blocked', 'SecurityError')
        }
      },
    ],
    [
      'are refused by a policy',
      class extends Worker {
        constructor() {
          super(at('/no-such-worker.js'), { type: 'module' })
        }
      },
    ],
  ])('that %s: the calling thread does it', async (_, Refused) => {
    vi.stubGlobal('Worker', Refused)
    const decoder = decoderOf({ workers: 2 })
    const blocks = await Promise.all([jpegLs, htj2k, jpegLs].map((one) => decoder.decode([one])))
    for (const block of blocks) expect(Array.from(block)).toEqual(expected)
    decoder.close()
  })
})
