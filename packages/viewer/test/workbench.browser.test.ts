import { createVolume, fromFrame, type ImagePlane } from '@alveometer/core'
import { writeSeries } from '@alveometer/phantom'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { Workbench } from '../src/chairside/index.js'
import { Engine } from '../src/engine/index.js'
import { moveFixture } from '../src/session/index.js'
import { uprightPlan } from './plan.js'

/** A slab of bone in soft tissue, with air about: enough for a scan to be calibrated by. */
const volume = createVolume({
  data: Int16Array.from({ length: 80 * 80 * 60 }, (_, n) => {
    const [i, j, k] = [n % 80, Math.floor(n / 80) % 80, Math.floor(n / 6400)]
    const noise = ((i * 7919 + j * 104729 + k * 1299709) % 61) - 30
    const r = Math.hypot(i - 40, j - 40)
    if (r > 38) return -1000 + noise
    if (Math.abs(j - 40) < 12 && Math.abs(i - 40) < 25)
      return Math.abs(j - 40) > 5 ? 1900 + noise : 500 + noise
    return 60 + noise
  }),
  shape: [80, 80, 60],
  indexToWorld: fromFrame([0.4, 0, 0], [0, 0.4, 0], [0, 0, 0.4], [-16, -16, -12]),
  identity: { seriesUid: '2.25.501', frameOfReferenceUid: '2.25.502' },
})
const sourceOf = (scan: typeof volume) => ({
  kind: 'files' as const,
  files: writeSeries(scan).map((f) => new File([f.bytes as Uint8Array<ArrayBuffer>], f.name)),
})
const source = sourceOf(volume)
/** The same series with other voxels: what was learned of the first does not hold for it. */
const brighter = sourceOf({ ...volume, data: (volume.data as Int16Array).map((v) => v + 1) })

const plane: ImagePlane = { origin: [-5, -5, 0], du: [0.2, 0, 0], dv: [0, 0.2, 0], width: 40, height: 40 }

// One scan is opened once; the checks follow each other on it.
let bench = new Workbench()
beforeAll(async () => {
  localStorage.clear()
  await bench.open(source)
}, 60_000)
afterAll(() => {
  bench.close()
  localStorage.clear()
})

test('a scan without a plan gets one in its middle, to be moved', () => {
  expect(bench.fault).toBeNull()
  expect(bench.placeholder).toBe(true)
  expect(bench.session.canUndo).toBe(false)
  expect(bench.session.plan.scan.seriesUid).toBe('2.25.501')
  bench.session.update(moveFixture(bench.session.plan, [1, 0, 0]))
  expect(bench.placeholder).toBe(false)
})

test('the numbers are those of the plan on the table', async () => {
  await settled()
  const before = bench.assessment
  expect(before?.margin.depthsMm.at(-1)).toBe(10)
  bench.move({ phase: 'step', plan: moveFixture(bench.session.plan, [0, 0.5, 0]) })
  expect(bench.state).toBe('measuring')
  await settled()
  expect(bench.assessment).not.toBe(before)
})

test('refined numbers take the place of the fast ones, for the very same plan', async () => {
  bench.move({ phase: 'step', plan: moveFixture(bench.session.plan, [0, 0, 0.2]) })
  await settled()
  expect([bench.assessment?.margin.mode, bench.measurement.doing]).toEqual(['fast', 'refining'])
  const { plan } = bench.session
  const refined = await bench.settled()
  expect(bench.session.plan).toBe(plan)
  expect(refined?.margin.mode).toBe('refined')
  expect(refined?.margin.cortexMm).not.toBeNull()
  expect(bench.assessment).toBe(refined)
})

test('while it refines, frames are answered; a newer plan stops it', async () => {
  bench.move({ phase: 'step', plan: moveFixture(bench.session.plan, [0, 0, 0.2]) })
  await settled()
  const { engine, session } = bench
  const { plan } = session
  const order: string[] = []
  const refining = engine.refine(plan).then(
    () => order.push('refined'),
    (error: Error) => order.push(error.name),
  )
  const picture = new Promise<void>((done, fail) =>
    engine.frame({
      request: () => ({ plan, planes: { collar: plane }, measure: false }),
      onImages: () => order.push('picture'),
      onMeasured: () => done(),
      onFault: fail,
    }),
  )
  await picture
  const newer = new Promise<void>((done, fail) =>
    engine.frame({
      request: () => ({ plan, planes: {}, measure: true }),
      onImages: () => undefined,
      onMeasured: (numbers) => {
        order.push(`${numbers?.margin.mode}`)
        done()
      },
      onFault: fail,
    }),
  )
  await Promise.all([refining, newer])
  expect(order).toEqual(['picture', 'AbortError', 'fast'])
})

test('a plan of another scan is opened with a warning, and undo gives the one before back', () => {
  bench.move({ phase: 'step', plan: moveFixture(bench.session.plan, [2, 0, 0]) })
  const { plan } = bench.session
  bench.setPlan(uprightPlan)
  expect(bench.mismatch).toBe(true)
  bench.session.undo()
  expect(bench.session.plan).toBe(plan)
  expect(bench.mismatch).toBe(false)
})

test('a refused pick changes nothing but says why', async () => {
  await settled()
  const { assessment, facts } = bench
  await bench.open({ kind: 'files', files: [new File(['x'], 'x.txt')] })
  expect(bench.fault?.code).toBe('no-series')
  expect(bench.facts).toBe(facts)
  expect(bench.assessment).toBe(assessment)
})

test('a plan worked on is there again when its scan is opened again', async () => {
  bench.move({ phase: 'step', plan: moveFixture(bench.session.plan, [2, 0, 0]) })
  const { plan } = bench.session
  bench.close()
  bench = new Workbench()
  await bench.open(source)
  expect(bench.session.plan).toEqual(plan)
})

test('a calibration that is stopped leaves the scan to be looked at, and can be had later', async () => {
  const stop = (): void => {
    if (bench.progress?.stage === 'levels') bench.intake.cancel()
  }
  bench.addEventListener('change', stop)
  await bench.open(brighter)
  bench.removeEventListener('change', stop)
  expect(bench.uncalibrated).toBe(true)
  expect(bench.assessment).toBeNull()
  expect(bench.state).toBe('ready')
  await bench.calibrate()
  await settled()
  expect(bench.uncalibrated).toBe(false)
  expect(bench.assessment).not.toBeNull()
})

test('a plan is kept with the remarks of its scan', () => {
  bench.move({ phase: 'step', plan: moveFixture(bench.session.plan, [0.1, 0, 0]) })
  expect(bench.savedPlan.scan.remarks).toEqual(bench.facts?.remarks)
  const kept = JSON.parse(localStorage.getItem('alveometer-plan:2.25.501') ?? '{}')
  expect(kept.scan.remarks).toEqual(bench.facts?.remarks)
  // One of another scan is kept as it is.
  bench.setPlan({ ...uprightPlan, scan: { seriesUid: '2.25.9', frameOfReferenceUid: '' } })
  expect(bench.savedPlan).toBe(bench.session.plan)
  bench.session.undo()
})

test('a worker that breaks down: said plainly, the plan stays, the scan can be opened again', async () => {
  bench.close()
  let worker: Worker | null = null
  const start = (): Worker => {
    worker = new Worker(new URL('../src/engine/engine-worker.ts', import.meta.url), { type: 'module' })
    return worker
  }
  bench = new Workbench(new Engine(start, new URL('itk/pipelines', document.baseURI).href, 300))
  await bench.open(source)
  await settled()
  const { plan } = bench.session
  const told = new Promise<void>((done) => {
    bench.addEventListener('change', () => bench.facts === null && done())
  })
  const dead = worker as Worker | null
  dead?.terminate()
  dead?.dispatchEvent(new ErrorEvent('error', { message: 'out of everything' }))
  await told
  expect(bench.fault?.message).toMatch(/out of everything.*open the scan again/)
  expect(bench.assessment).toBeNull()
  expect(bench.session.plan).toBe(plan)
  await bench.open(source)
  await settled()
  expect(bench.fault).toBeNull()
  expect(bench.session.plan).toEqual(plan)
  expect(bench.assessment).not.toBeNull()
})

async function settled(): Promise<void> {
  const end = performance.now() + 20_000
  while (bench.state !== 'ready') {
    if (performance.now() > end) throw new Error(`still ${bench.state}`)
    await new Promise((done) => setTimeout(done, 20))
  }
}
