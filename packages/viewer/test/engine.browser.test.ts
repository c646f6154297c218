import { createVolume, fromFrame, type ImagePlane, reslice } from '@alveometer/core'
import { writeSeries } from '@alveometer/phantom'
import { afterAll, expect, test } from 'vitest'
import { Engine, EngineError } from '../src/engine/index.js'
import type { FrameImages, FrameResult } from '../src/engine/protocol.js'
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
const files = writeSeries(volume, {}).map((f) => new File([f.bytes as Uint8Array<ArrayBuffer>], f.name))
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

test('several series: the choice comes with the error, then one opens', async () => {
  const other = createVolume({
    data: (volume.data as Int16Array).map((v) => v + 5),
    shape: volume.shape,
    indexToWorld: volume.indexToWorld,
    identity: { seriesUid: '2.25.77', frameOfReferenceUid: '2.25.78' },
  })
  const more = writeSeries(other).map((f) => new File([f.bytes as Uint8Array<ArrayBuffer>], `b-${f.name}`))
  const both = { kind: 'files' as const, files: [...files, ...more] }
  const error = await engine.open(both).catch((e: EngineError) => e)
  expect(error).toBeInstanceOf(EngineError)
  const { series } = error as EngineError
  expect(series.map((s) => s.usable)).toEqual([true, true])
  const { facts } = await engine.open(both, { seriesUid: '2.25.77' })
  expect(facts.seriesUid).toBe('2.25.77')
  await expect(frame(30).then(({ images }) => images.section?.pixels)).resolves.toEqual(reslice(other, plane))
})
