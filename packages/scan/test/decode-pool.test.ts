import { execFileSync } from 'node:child_process'
import { join } from 'node:path'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { CodecMissing, WorkerUnavailable } from '../src/decode/failures.js'
import { decodePool } from '../src/decode/index.js'
import type { DecodeWorker } from '../src/decode/pool.js'
import { type CompressedImage, type Decoder, loadScan } from '../src/index.js'
import { nodeDecoder } from '../src/node.js'
import { chiralFiles, codes, expectSameAsPhantom, inputsOf, phantom, refusal } from './chiral.js'
import { encodeHtj2k } from './htj2k.js'
import { jpegLsSlice } from './jpeg-ls-slice.js'

type Pixels = Awaited<ReturnType<Decoder['decode']>>

/** A worker that does what a test tells it to. */
class ToldWorker implements DecodeWorker {
  readonly blocks: (readonly CompressedImage[])[] = []
  ended = false
  #reject: (cause: Error) => void = () => {}
  readonly #answer: (images: readonly CompressedImage[]) => Promise<Pixels>

  constructor(answer: (images: readonly CompressedImage[]) => Promise<Pixels>) {
    this.#answer = answer
  }

  decode(images: readonly CompressedImage[]): Promise<Pixels> {
    this.blocks.push(images)
    return new Promise((resolve, reject) => {
      this.#reject = reject
      this.#answer(images).then(resolve, reject)
    })
  }

  terminate(): void {
    this.ended = true
    this.#reject(new Error('ended'))
  }
}

const never = () => new Promise<Pixels>(() => {})
const pause = (turns: number) => new Promise<void>((done) => setTimeout(done, turns))

/** Pixels that tell their slice: 1000 more than its number. */
const numbered = (images: readonly CompressedImage[]) =>
  Uint16Array.from({ length: images.length * 1024 }, (_, i) => 1000 + numberOf(images[i >> 10]))
const numberOf = (image: CompressedImage | undefined) => Number(image?.slice.slice(2, 6))

/** Slices that all hold the same codestream; the workers under test do not look at it. */
const files = chiralFiles({
  syntax: 'rle',
  meta: { TransferSyntaxUID: '1.2.840.10008.1.2.4.80' },
  overrides: { PixelData: { fragments: [jpegLsSlice] } },
})

function poolOf(
  answer: (images: readonly CompressedImage[], started: number) => Promise<Pixels>,
  options: Partial<Parameters<typeof decodePool>[0]> = {},
) {
  const workers: ToldWorker[] = []
  const here = new ToldWorker(async (images) => numbered(images))
  const start = () => {
    const nth = workers.length
    const worker = new ToldWorker((images) => answer(images, nth))
    workers.push(worker)
    return worker
  }
  return { decoder: decodePool({ workers: 2, start, here: () => here, ...options }), workers, here }
}

const image = (n: number): CompressedImage => ({
  slice: `IM${String(n).padStart(4, '0')}.dcm`,
  transferSyntaxUid: '1.2.840.10008.1.2.4.80',
  layout: {
    rows: 32,
    columns: 32,
    frames: 1,
    samplesPerPixel: 1,
    bitsAllocated: 16,
    bitsStored: 12,
    highBit: 11,
    signed: false,
    photometric: 'MONOCHROME2',
  },
  codestream: jpegLsSlice,
})

/** The greys of the first voxel of every slice. */
const firsts = (data: ArrayLike<number>) => Array.from({ length: 24 }, (_, k) => data[1024 * k])

describe('a pool of decode workers', () => {
  it('slices come in order whichever worker is first', async () => {
    const { decoder, workers } = poolOf(async (images, nth) => {
      await pause(nth === 0 ? 30 : 1)
      return numbered(images)
    })
    const { volume } = await loadScan(inputsOf(files), { decoder })
    expect(firsts(volume.data)).toEqual(Array.from({ length: 24 }, (_, k) => k + 1))
    expect(workers).toHaveLength(2)
    decoder.close()
  })

  it('no more blocks are read than workers and one that waits', async () => {
    const held: (() => void)[] = []
    const { decoder, workers } = poolOf(
      (images) => new Promise((done) => held.push(() => done(numbered(images)))),
    )
    let headers = 0
    const read = new Set<string>()
    const inputs = inputsOf(files).map((input) => ({
      ...input,
      read: (...range: Parameters<typeof input.read>) => {
        if (headers === files.length) read.add(input.name)
        return input.read(...range)
      },
    }))
    const onProgress = ({ stage, done }: { stage: string; done: number }) => {
      if (stage === 'headers') headers = done
    }
    const loading = loadScan(inputs, { decoder: { ...decoder, blockSize: 2 }, onProgress })
    for (let n = 0; n < 12; n++) {
      await vi.waitFor(() => expect(held.length).toBeGreaterThan(n))
      await pause(5)
      // So many blocks were answered, two are with the workers and one waits.
      expect(read.size).toBeLessThanOrEqual(2 * (n + 3))
      expect(workers.reduce((sum, w) => sum + w.blocks.length, 0)).toBeLessThanOrEqual(n + 2)
      held[n]?.()
    }
    expect(firsts((await loading).volume.data)).toEqual(Array.from({ length: 24 }, (_, k) => k + 1))
    decoder.close()
  })

  it('a worker that fails is ended and replaced, and the file is named', async () => {
    const { decoder, workers } = poolOf(async (images) => {
      if (images.some((one) => one.slice === 'IM0013.dcm')) throw 5413488
      return numbered(images)
    })
    const error = await refusal(files, { decoder })
    expect(codes(error.report)).toEqual(['decode-failed'])
    expect(error.report[0]?.files).toEqual(['IM0013.dcm'])
    expect(error.message).not.toContain('5413488')
    const failed = workers.filter((w) => w.blocks.at(-1)?.some((one) => one.slice === 'IM0013.dcm'))
    // The block, and the image alone.
    expect(failed).toHaveLength(2)
    expect(failed.every((w) => w.ended)).toBe(true)
    expect(numbered([image(1)])).toEqual(await decoder.decode([image(1)]))
    decoder.close()
  })

  it('a worker that gives no answer is ended, and the block fails with a plain sentence', async () => {
    const { decoder, workers } = poolOf(
      (images) =>
        images.some((one) => one.slice === 'IM0009.dcm') ? never() : Promise.resolve(numbered(images)),
      { patienceMs: () => 50 },
    )
    const error = await refusal(files, { decoder })
    expect(codes(error.report)).toEqual(['decode-failed'])
    expect(error.message).toContain('IM0009.dcm')
    expect(error.message).toContain('gave no answer')
    const stuck = workers.filter((w) => w.blocks.at(-1)?.some((one) => one.slice === 'IM0009.dcm'))
    // Not tried again image by image: that would take as long for each.
    expect(stuck).toHaveLength(1)
    expect(stuck[0]?.ended).toBe(true)
    expect(await decoder.decode([image(1)])).toEqual(numbered([image(1)]))
    decoder.close()
  })

  it('stopping ends the workers that are busy and forgets what waits', async () => {
    const { decoder, workers } = poolOf(never)
    const stop = new AbortController()
    const loading = loadScan(inputsOf(files), { decoder, signal: stop.signal })
    await vi.waitFor(() => expect(workers.filter((w) => w.blocks.length > 0)).toHaveLength(2))
    const reason = new DOMException('enough', 'AbortError')
    stop.abort(reason)
    await expect(loading).rejects.toBe(reason)
    expect(workers.map((w) => [w.ended, w.blocks.length])).toEqual([
      [true, 1],
      [true, 1],
    ])
  })

  it('a load that fails ends the workers still busy with what lay ahead', async () => {
    const { decoder, workers } = poolOf(async (images) => {
      if (numberOf(images[0]) > 16) return never()
      throw new Error('broken')
    })
    await refusal(files, { decoder })
    await vi.waitFor(() => expect(workers.every((w) => w.ended)).toBe(true))
  })

  it('an aborted signal decodes nothing', async () => {
    const { decoder, workers } = poolOf(never)
    await expect(decoder.decode([image(1)], AbortSignal.abort())).rejects.toMatchObject({
      name: 'AbortError',
    })
    expect(workers).toHaveLength(0)
  })

  it('closing ends everything, may be done twice, and the decoder can be used again', async () => {
    const { decoder, workers } = poolOf((images, nth) =>
      nth < 2 ? never() : Promise.resolve(numbered(images)),
    )
    const all = [1, 2, 3].map((n) => decoder.decode([image(n)]))
    decoder.close()
    decoder.close()
    const names = (await Promise.allSettled(all)).map((one) => one.status === 'rejected' && one.reason.name)
    expect(names).toEqual(['AbortError', 'AbortError', 'AbortError'])
    expect(workers.map((w) => w.ended)).toEqual([true, true])
    expect(await decoder.decode([image(4)])).toEqual(numbered([image(4)]))
    expect(workers).toHaveLength(3)
    decoder.close()
  })

  describe('idle', () => {
    afterEach(() => vi.useRealTimers())

    it('workers end a while after the last block', async () => {
      vi.useFakeTimers()
      const { decoder, workers } = poolOf(async (images) => numbered(images), { idleMs: 500 })
      await Promise.all([1, 2, 3].map((n) => decoder.decode([image(n)])))
      expect(workers.map((w) => w.ended)).toEqual([false, false])
      vi.advanceTimersByTime(499)
      await decoder.decode([image(4)])
      vi.advanceTimersByTime(499)
      expect(workers.map((w) => w.ended)).toEqual([false, false])
      vi.advanceTimersByTime(1)
      expect(workers.map((w) => w.ended)).toEqual([true, true])
    })
  })
})

describe('where no worker can be had', () => {
  it.each([
    [
      'they cannot be made',
      {
        start: () => {
          throw new ReferenceError('Worker is not defined')
        },
      },
    ],
    [
      'they never run',
      { start: () => new ToldWorker(() => Promise.reject(new WorkerUnavailable('blocked'))) },
    ],
    ['none are wanted', { workers: 0 }],
  ])('%s: the calling thread does it, in order', async (_, options) => {
    const { decoder, here } = poolOf(never, options)
    const { volume } = await loadScan(inputsOf(files), { decoder })
    expect(firsts(volume.data)).toEqual(Array.from({ length: 24 }, (_, k) => k + 1))
    expect(here.blocks).toHaveLength(3)
  })

  it('a codec that cannot be loaded is not taken for a damaged file', async () => {
    const { decoder } = poolOf(async () => {
      throw new CodecMissing('404')
    })
    const error = await refusal(files, { decoder })
    expect(codes(error.report)).toEqual(['no-decoder'])
    expect(error.message).toMatch(/IM0001\.dcm .*decoder for it could not be loaded/)
  })
})

describe('threads in Node', () => {
  const HTJ2K = '1.2.840.10008.1.2.4.201'
  const compressed = (broken?: number) =>
    chiralFiles({
      syntax: 'rle',
      meta: { TransferSyntaxUID: HTJ2K },
      overrides: (k) => {
        const stored = Array.from(phantom.data.subarray(1024 * k, 1024 * (k + 1)), (grey) => grey + 1000)
        const codestream = encodeHtj2k(stored, { columns: 32, rows: 32 })
        // The coding style (marker COD) cannot be found any more.
        const at = codestream.findIndex((byte, i) => byte === 0xff && codestream[i + 1] === 0x52)
        if (k === broken) codestream[at + 1] = 0x01
        return { PixelData: { fragments: [codestream] } }
      },
    })

  it.each([0, 1, 3])('%i of them: the same volume', async (workers) => {
    const decoder = nodeDecoder({ workers })
    expectSameAsPhantom((await loadScan(inputsOf(compressed()), { decoder })).volume)
    decoder.close()
  })

  it.each([0, 2])('a broken image is named by %i threads, and the next load is right', async (workers) => {
    const decoder = nodeDecoder({ workers })
    const error = await refusal(compressed(9), { decoder })
    expect(codes(error.report)).toEqual(['decode-failed'])
    expect(error.report[0]?.files).toEqual(['IM0010.dcm'])
    expectSameAsPhantom((await loadScan(inputsOf(compressed()), { decoder })).volume)
    decoder.close()
  })

  it('a running one is ended by the signal', async () => {
    const decoder = nodeDecoder({ workers: 1 })
    const stop = new AbortController()
    const size = 2048
    const big = encodeHtj2k(
      Uint16Array.from({ length: size * size }, (_, i) => (i * 2654435761) >>> 20),
      { columns: size, rows: size },
    )
    const { layout } = image(1)
    const large: CompressedImage = {
      ...image(1),
      transferSyntaxUid: HTJ2K,
      layout: { ...layout, rows: size, columns: size },
      codestream: big,
    }
    const decoding = decoder.decode(
      Array.from({ length: 8 }, () => large),
      stop.signal,
    )
    setTimeout(() => stop.abort(), 50)
    await expect(decoding).rejects.toMatchObject({ name: 'AbortError' })
    const stored = Array.from(phantom.data.subarray(0, 1024), (grey) => grey + 1000)
    const small = {
      ...image(1),
      transferSyntaxUid: HTJ2K,
      codestream: encodeHtj2k(stored, { columns: 32, rows: 32 }),
    }
    expect(Array.from(await decoder.decode([small]))).toEqual(stored)
    decoder.close()
  })

  it('they do not keep a process alive that has nothing else to do, and are not cut off while they work', () => {
    const script = `
      import { nodeDecoder } from '${join(import.meta.dirname, '../dist/node.js')}'
      const codestream = Uint8Array.from(${JSON.stringify(Array.from(jpegLsSlice))})
      const image = ${JSON.stringify({ ...image(1), codestream: undefined })}
      const pixels = await nodeDecoder({ workers: 2 }).decode([{ ...image, codestream }])
      console.log(pixels.length)`
    const printed = execFileSync(process.execPath, ['--input-type=module', '-e', script], {
      encoding: 'utf8',
      timeout: 60_000,
    })
    expect(printed).toBe('1024\n')
  })
})
