import { createVolume, fromFrame } from '@alveometer/core'
import { writeSeries } from '@alveometer/phantom'
import { afterAll, beforeAll, expect, test } from 'vitest'
import { Workbench } from '../src/chairside/index.js'
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
const files = writeSeries(volume).map((f) => new File([f.bytes as Uint8Array<ArrayBuffer>], f.name))
const source = { kind: 'files' as const, files }

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

async function settled(): Promise<void> {
  const end = performance.now() + 20_000
  while (bench.state !== 'ready') {
    if (performance.now() > end) throw new Error(`still ${bench.state}`)
    await new Promise((done) => setTimeout(done, 20))
  }
}
