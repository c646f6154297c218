import { zipSeries } from '@alveometer/phantom'
import fc from 'fast-check'
import { expect, it } from 'vitest'
import { inputFromBytes, isScanError, loadScan } from '../../src/index.js'
import { chiralFiles, inputsOf } from '../chiral.js'

const files = chiralFiles({ slices: [0, 1, 2, 3] })
const zip = zipSeries(files)
const length = files[0]?.bytes.length ?? 0

/** A load ends in a volume of finite geometry or in a ScanError that says something; never in anything else. */
async function endsWell(load: Promise<Awaited<ReturnType<typeof loadScan>>>) {
  try {
    const { volume } = await load
    expect(volume.indexToWorld.every(Number.isFinite)).toBe(true)
    expect(volume.spacingMm.every((s) => s > 0)).toBe(true)
    expect(Number.isFinite(volume.grey.minimum) && Number.isFinite(volume.grey.maximum)).toBe(true)
  } catch (error) {
    if (!isScanError(error)) throw error
    expect(error.message.length).toBeGreaterThan(20)
  }
}

const damage = (bytes: Uint8Array, changes: readonly (readonly [number, number])[], keep: number) => {
  const copy = Uint8Array.from(bytes)
  for (const [at, value] of changes) copy[at % copy.length] = value
  return copy.subarray(0, keep)
}

// Mostly in the header: behind it only pixels change.
const changes = fc.array(fc.tuple(fc.nat(1200), fc.nat(255)), { minLength: 1, maxLength: 6 })

it('any bytes of one file changed or cut off', async () => {
  await fc.assert(
    fc.asyncProperty(changes, fc.oneof(fc.constant(length), fc.nat(length)), async (bytes, keep) => {
      const hurt = files.map((f, i) => (i === 1 ? { ...f, bytes: damage(f.bytes, bytes, keep) } : f))
      await endsWell(loadScan(inputsOf(hurt)))
    }),
    { numRuns: 300, seed: 20240101 },
  )
})

it('the same bytes changed in all files', async () => {
  await fc.assert(
    fc.asyncProperty(changes, async (bytes) => {
      await endsWell(loadScan(inputsOf(files.map((f) => ({ ...f, bytes: damage(f.bytes, bytes, length) })))))
    }),
    { numRuns: 300, seed: 20240102 },
  )
})

it('any bytes of a zip changed or cut off', async () => {
  const anywhere = fc.array(fc.tuple(fc.nat(zip.length - 1), fc.nat(255)), { minLength: 1, maxLength: 4 })
  await fc.assert(
    fc.asyncProperty(anywhere, fc.oneof(fc.constant(zip.length), fc.nat(zip.length)), async (bytes, keep) => {
      await endsWell(loadScan([inputFromBytes('scan.zip', damage(zip, bytes, keep))]))
    }),
    { numRuns: 300, seed: 20240103 },
  )
})
