import { createVolume, fromFrame, type ImagePlane, reslice } from '@alveometer/core'
import { type NamedBytes, writeMultiFrame, writeSeries, zipSeries } from '@alveometer/phantom'
import { afterAll, describe, expect, test } from 'vitest'
import { Engine, EngineError } from '../src/engine/index.js'
import type { EngineReply, FrameImages, FrameResult, Progress } from '../src/engine/protocol.js'
import { uprightPlan } from './plan.js'

const engine = new Engine()
afterAll(() => engine.close())

/** Grey rising differently along the three axes, so that a turned or shifted picture shows. */
const volume = createVolume({
  data: Int16Array.from({ length: 24 * 20 * 16 }, (_, n) => {
    const [i, j, k] = [n % 24, Math.floor(n / 24) % 20, Math.floor(n / 480)]
    return 7 * i + 31 * j + 101 * k
  }),
  shape: [24, 20, 16],
  indexToWorld: fromFrame([0.5, 0, 0], [0, 0.5, 0], [0, 0, 0.5], [-6, -5, -4]),
})
const filesOf = (written: readonly NamedBytes[], prefix = ''): File[] =>
  written.map((f) => new File([f.bytes as Uint8Array<ArrayBuffer>], prefix + f.name))
const files = filesOf(writeSeries(volume, {}))
const source = { kind: 'files' as const, files }
const plane: ImagePlane = {
  origin: [-4, -3, -2],
  du: [0.2, 0.1, 0],
  dv: [0, 0.1, 0.15],
  width: 30,
  height: 20,
}

const frame = (width: number): Promise<{ images: FrameImages; result: FrameResult }> =>
  new Promise((done, fail) => {
    let images: FrameImages = {}
    engine.frame({
      request: () => ({ plan: uprightPlan, planes: { section: { ...plane, width } }, measure: false }),
      onImages: (i) => {
        images = i
      },
      onMeasured: (result) => done({ images, result }),
      onFault: fail,
    })
  })

test('before a scan is loaded a frame is refused', async () => {
  await expect(frame(30)).rejects.toThrow('no scan is loaded')
})

test('open tells what the scan is and keeps its own copy', async () => {
  const stages = new Set<string>()
  const { facts, report } = await engine.open(source, { onProgress: ({ stage }) => stages.add(stage) })
  expect(facts.shape).toEqual([24, 20, 16])
  expect(facts.spacingMm).toEqual([0.5, 0.5, 0.5])
  expect(facts.unit).toBe('grey value')
  facts.centre.forEach((v, n) => {
    expect(v).toBeCloseTo([-0.25, -0.25, -0.25][n] as number, 9)
  })
  expect(report.filter((l) => l.level === 'block')).toEqual([])
  expect([...stages]).toEqual(['headers', 'pixels'])
})

test('a picture is the reslice of the source voxels', async () => {
  const { images, result } = await frame(30)
  expect(images.section?.pixels).toEqual(reslice(volume, plane))
  expect(result).toBeNull()
})

test('a probe gives mean and SD of a disc of the source voxels, none where data ends', async () => {
  // Grey rises evenly, so the mean of a disc is the grey of its middle: at voxel (12, 10, 8) with spacing 0.5.
  const disc = { right: [1, 0, 0], down: [0, 0, 1], diameterMm: 1 } as const
  const at = await engine.probe({ ...disc, centre: [0, 0, 0] })
  expect(at?.mean).toBeCloseTo(7 * 12 + 31 * 10 + 101 * 8, 3)
  // A disc of radius r has SD r / 2 along each of its directions: 14 and 202 grey values a mm, r 0.5 mm.
  expect(Math.abs((at?.sd ?? 0) / (Math.hypot(14, 202) / 4) - 1)).toBeLessThan(0.03)
  expect(await engine.probe({ ...disc, centre: [-6, 0, 0] })).toBeNull()
})

test('the newest frame wins: of ten asked at once the first and the last are answered', async () => {
  const answered: number[] = []
  await new Promise<void>((done) => {
    for (let n = 1; n <= 10; n++)
      void frame(n).then(({ images }) => {
        answered.push(images.section?.width ?? 0)
        if (n === 10) done()
      })
  })
  expect(answered).toEqual([1, 10])
})

test('a bad pick is refused by name and remedy, the scan before stays', async () => {
  const bad = engine.open({ kind: 'files', files: [new File(['hello'], 'notes.txt')] })
  await expect(bad).rejects.toBeInstanceOf(EngineError)
  await expect(bad).rejects.toMatchObject({ code: 'no-series' })
  expect((await frame(30)).images.section?.pixels).toEqual(reslice(volume, plane))
})

test('a stopped load rejects with AbortError, the scan before stays', async () => {
  const controller = new AbortController()
  const load = engine.open(source, { signal: controller.signal, onProgress: () => controller.abort() })
  await expect(load).rejects.toMatchObject({ name: 'AbortError' })
  expect((await frame(30)).images.section?.pixels).toEqual(reslice(volume, plane))
})

test('a stopped load stops in the worker too, in the middle of the slices', async () => {
  const replies: EngineReply[] = []
  const start = (): Worker => {
    const worker = new Worker(new URL('../src/engine/engine-worker.ts', import.meta.url), { type: 'module' })
    worker.addEventListener('message', ({ data }: MessageEvent<EngineReply>) => replies.push(data))
    return worker
  }
  const own = new Engine(start)
  // 51 MB: long enough for a message to come in while it is read.
  const long = createVolume({
    data: new Int16Array(256 * 256 * 400),
    shape: [256, 256, 400],
    indexToWorld: fromFrame([0.5, 0, 0], [0, 0.5, 0], [0, 0, 0.5], [0, 0, 0]),
  })
  const controller = new AbortController()
  const load = own.open(
    { kind: 'files', files: filesOf(writeSeries(long)) },
    { signal: controller.signal, onProgress: ({ stage }) => stage === 'pixels' && controller.abort() },
  )
  await expect(load).rejects.toMatchObject({ name: 'AbortError' })
  const ended = (): EngineReply | undefined => replies.find((r) => r.kind === 'failed' || r.kind === 'done')
  while (!ended()) await new Promise((done) => setTimeout(done, 10))
  expect(ended()).toMatchObject({ kind: 'failed', fault: { name: 'AbortError' } })
  const slices = replies.flatMap((r) =>
    r.kind === 'progress' && r.progress.stage === 'pixels' ? [r.progress.done] : [],
  )
  expect(Math.max(...slices)).toBeLessThan(400)
  own.close()
})

const other = createVolume({
  data: (volume.data as Int16Array).map((v) => v + 5),
  shape: volume.shape,
  indexToWorld: volume.indexToWorld,
  identity: { seriesUid: '2.25.77', frameOfReferenceUid: '2.25.78' },
})
const more = filesOf(writeSeries(other, { patientId: 'SECOND' }), 'b-')
const both = { kind: 'files' as const, files: [...files, ...more] }

test('a look through a pick gives pictures and persons, and changes nothing of the scan before', async () => {
  const before = (await frame(30)).images.section?.pixels
  const { series, report, name } = await engine.inspect(both)
  expect(name).toBe('32 files')
  expect(series.map((s) => s.usable)).toEqual([true, true])
  expect(new Set(series.map((s) => s.person?.id))).toEqual(new Set(['PHANTOM', 'SECOND']))
  expect(series.map((s) => Math.max(s.thumbnail?.width ?? 0, s.thumbnail?.height ?? 0))).toEqual([192, 192])
  expect(report.map((r) => r.code)).toContain('several-patients')
  expect((await frame(30)).images.section?.pixels).toEqual(before)
})

test('of several series the one that is meant opens', async () => {
  await expect(engine.open(both)).rejects.toMatchObject({ code: 'series-ambiguous' })
  const { facts } = await engine.open(both, { seriesUid: '2.25.77' })
  expect(facts.seriesUid).toBe('2.25.77')
  await expect(frame(30).then(({ images }) => images.section?.pixels)).resolves.toEqual(reslice(other, plane))
})

test('what is too large comes with what would fit, and opens at half resolution or in part', async () => {
  // 24 x 20 x 16 voxels of two bytes are 15360 bytes.
  const error = await engine.open(source, { budgetBytes: 15_000 }).catch((e: EngineError) => e)
  expect(error).toMatchObject({
    code: 'too-large',
    offer: { neededBytes: 15_360, half: { bytes: 1920, shape: [12, 10, 8], spacingMm: [1, 1, 1] } },
  })
  const half = await engine.open(source, { budgetBytes: 15_000, half: true })
  expect(half.facts.spacingMm).toEqual([1, 1, 1])
  expect(half.facts.remarks.map((r) => r.code)).toEqual(['half-resolution'])
  const region = { from: [2, 3, 4], to: [12, 13, 14] } as const
  const part = await engine.open(source, { budgetBytes: 15_000, region })
  expect(part.facts.shape).toEqual([10, 10, 10])
})

const unplaced = {
  kind: 'files' as const,
  files: filesOf([writeMultiFrame(volume, { object: 'CTWithFrames' })]),
}

test('a multi-frame file without places is previewed in pixels; what it does give is told', async () => {
  const { series } = await engine.inspect(unplaced)
  expect(series[0]?.questions.map((q) => q.ask)).toEqual(['slice-step', 'orientation'])
  const preview = await engine.preview(unplaced, series[0]?.id ?? '')
  expect(preview.shape).toEqual([24, 20, 16])
  // Its Image Orientation (Patient) is that of all frames.
  expect(preview.sides).toEqual({ row: [1, 0, 0], column: [0, 1, 0] })
  expect(preview.counting).toBeNull()
  const at = (i: number, j: number, k: number) => 7 * i + 31 * j + 101 * k
  const slice = await engine.previewImage(2, 5)
  expect([slice.width, slice.height, slice.pixels[3 * 24 + 4]]).toEqual([24, 20, at(4, 3, 5)])
  const front = await engine.previewImage(1, 6)
  expect([front.width, front.height, front.pixels[3 * 24 + 4]]).toEqual([24, 16, at(4, 6, 3)])
  const side = await engine.previewImage(0, 7)
  expect([side.width, side.height, side.pixels[3 * 20 + 4]]).toEqual([20, 16, at(7, 4, 3)])
})

test('with what a person confirmed it opens, and says so', async () => {
  const orientation = { row: [1, 0, 0], column: [0, 1, 0], slice: [0, 0, 1] } as const
  const how = { 'slice-step': 'known-length', orientation: 'chosen' } as const
  const { facts, report } = await engine.open(unplaced, { answers: { sliceStepMm: 0.5, orientation, how } })
  expect(facts.spacingMm).toEqual([0.5, 0.5, 0.5])
  expect(facts.confirmed).toEqual({ sliceStepMm: 0.5, orientation, how })
  expect(report.map((r) => r.code)).toContain('geometry-confirmed')
  await expect(engine.previewImage(2, 5)).rejects.toThrow('nothing is being previewed')
})

test('where files give positions but no sides, it is not asked to which side the slices count', async () => {
  const named = writeSeries(volume, { overrides: { ImageOrientationPatient: undefined } })
  const pick = { kind: 'files' as const, files: filesOf(named) }
  const { series } = await engine.inspect(pick)
  const preview = await engine.preview(pick, series[0]?.id ?? '')
  expect(preview.questions.map((q) => q.ask)).toEqual(['orientation'])
  expect([preview.sides, preview.counting]).toEqual([null, [0, 0, 1]])
  await engine.closePreview()
  await expect(engine.previewImage(2, 5)).rejects.toBeInstanceOf(EngineError)
})

test('an address is fetched once, its bytes counted', async () => {
  const zip = zipSeries(writeSeries(volume), { level: 0 }) as Uint8Array<ArrayBuffer>
  const url = URL.createObjectURL(new Blob([zip]))
  const seen: Progress[] = []
  const address = { kind: 'url' as const, url }
  await engine.inspect(address, { onProgress: (p) => seen.push(p) })
  expect(seen.filter((p) => p.stage === 'fetch').at(-1)?.done).toBe(zip.length)
  URL.revokeObjectURL(url)
  expect((await engine.open(address)).facts.shape).toEqual([24, 20, 16])
})

describe('a worker that fails', () => {
  /** Does as it is told by the messages it gets: throws, or also never answers again. */
  const fragile = (silent: boolean) => (): Worker => {
    const code = `
      let broken = false
      onmessage = ({ data }) => {
        if (data.op === 'inspect') { broken = ${silent}; throw new Error('made to fail') }
        if (!broken) postMessage({ kind: 'done', id: data.id, result: data.op })
      }`
    return new Worker(URL.createObjectURL(new Blob([code], { type: 'text/javascript' })))
  }

  test('and still answers keeps its scan; only what waited is refused', async () => {
    const frail = new Engine(fragile(false), 'about:blank', 2000)
    let lost = 0
    frail.addEventListener('lost', () => lost++)
    await expect(frail.inspect(source)).rejects.toThrow(/made to fail.*Try again/)
    await expect(frail.open(source)).resolves.toBe('open')
    await new Promise((done) => setTimeout(done, 50))
    expect(lost).toBe(0)
    frail.close()
  })

  test('and falls silent is replaced by a fresh one, and that is told', async () => {
    let started = 0
    const start = fragile(true)
    const frail = new Engine(
      () => {
        started++
        return start()
      },
      'about:blank',
      200,
    )
    const lost = new Promise<Event>((done) => frail.addEventListener('lost', done, { once: true }))
    await expect(frail.inspect(source)).rejects.toBeInstanceOf(EngineError)
    expect((await lost) as CustomEvent).toMatchObject({
      detail: { message: expect.stringMatching(/open the scan again/) },
    })
    await expect(frail.open(source)).resolves.toBe('open')
    expect(started).toBe(2)
    frail.close()
  })
})
