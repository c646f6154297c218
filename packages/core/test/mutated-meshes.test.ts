import { createHash } from 'node:crypto'
import { describe, expect, test } from 'vitest'
import { importMesh, MeshError, readMeshFile } from '../src/index.js'
import { type MutatedMeshFile, mutatedMeshFiles } from './mutated-mesh-files.js'

// Whatever the bytes are, a mesh comes out that can be reckoned with, or an error that names the file.

const FILE = 'some crown.mesh'
const FILES = 10_000
const BATCHES = 10

/** What is wrong with the numbers of a result, by its path; undefined where all are finite. */
function broken(value: unknown, path: string): string | undefined {
  if (typeof value === 'number') return Number.isFinite(value) ? undefined : `${path} is ${value}`
  if (typeof value !== 'object' || value === null) return undefined
  if (ArrayBuffer.isView(value)) return undefined
  for (const [key, part] of Object.entries(value)) {
    const found = broken(part, `${path}.${key}`)
    if (found !== undefined) return found
  }
  return undefined
}

function wrongWith({
  positions,
  triangles,
}: {
  positions: Float64Array
  triangles: Uint32Array
}): string | undefined {
  if (triangles.length === 0 || triangles.length % 3 !== 0) return `${triangles.length} corners`
  if (positions.length % 3 !== 0 || !positions.every(Number.isFinite)) return 'positions that are not numbers'
  return triangles.every((v) => v < positions.length / 3) ? undefined : 'a vertex that is not there'
}

/** Undefined where the file is read or refused as it should be. */
function fault(bytes: Uint8Array): string | undefined {
  try {
    const raw = wrongWith(readMeshFile(bytes, FILE).mesh)
    if (raw !== undefined) return `raw: ${raw}`
    const read = importMesh(bytes, FILE)
    const { facts } = read
    if (facts.closed !== (facts.volumeMm3 !== null && facts.volumeMm3 > 0))
      return `closed, ${facts.volumeMm3} mm3`
    if (facts.closed && facts.openEdges > 0) return 'closed and open'
    if (!read.notes.every(({ text }) => text.startsWith(FILE))) return 'a note that does not name the file'
    return wrongWith(read.mesh) ?? broken(read, 'import')
  } catch (error) {
    if (!(error instanceof MeshError)) return `throws ${error instanceof Error ? error.stack : error}`
    if (!error.message.startsWith(`${FILE}: `)) return `says ${error.message}`
    return error.message.length < 600 ? undefined : 'says too much'
  }
}

describe(`${FILES} mutated mesh files are read or refused in words`, () => {
  for (let batch = 0; batch < BATCHES; batch++)
    test(`batch ${batch + 1} of ${BATCHES}`, () => {
      const faults: string[] = []
      for (const { name, bytes } of mutatedMeshFiles(FILES / BATCHES, `meshes ${batch}`)) {
        const found = fault(bytes)
        if (found !== undefined) faults.push(`${name}: ${found}`)
      }
      expect(faults).toEqual([])
    })
})

function digest(files: Iterable<MutatedMeshFile>): string {
  const hash = createHash('sha256')
  for (const { name, bytes } of files) hash.update(name).update(bytes)
  return hash.digest('hex')
}

test.each([
  ['lines', '\n'.repeat(2 ** 20)],
  ['blanks', ' '.repeat(2 ** 20)],
  ['digits', `v ${'1'.repeat(2 ** 20)}x 0 0\nf 1 1 1`],
  ['lines joined', `v 0 0 0\nf ${'1 \\\n'.repeat(2 ** 18)}`],
])('a million %s are refused without end being far', (_, text) => {
  expect(() => importMesh(new TextEncoder().encode(text), FILE)).toThrow(MeshError)
})

test('the corpus is the same every time, holds every format, and is neither all read nor all refused', () => {
  const files = [...mutatedMeshFiles(600, 'shape')]
  expect(digest(mutatedMeshFiles(600, 'shape'))).toBe(digest(files))
  const formats = new Map<string, number>()
  for (const { bytes } of files) {
    try {
      const { format } = readMeshFile(bytes, FILE)
      formats.set(format, (formats.get(format) ?? 0) + 1)
    } catch (error) {
      expect(error).toBeInstanceOf(MeshError)
    }
  }
  expect([...formats.keys()].sort()).toEqual(['3mf', 'obj', 'ply', 'stl-binary', 'stl-text'])
  const read = [...formats.values()].reduce((sum, n) => sum + n, 0)
  expect(read).toBeGreaterThan(100)
  expect(read).toBeLessThan(500)
})
