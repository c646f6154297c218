import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { createVolume, reslice, sampleAt, toWorld, type Vec3, type Volume } from '@alveometer/core'
import { writeSeries, zipSeries } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { inputFromBytes, loadScan } from '../../src/index.js'

const shape: Vec3 = [2100, 8, 8]
const step = 0.2
const { data, indexToWorld } = wide()

/** Longer than the 2048 voxels that many graphics cards allow; a mark near its end, and neighbours 1 apart. */
function wide() {
  const voxels = new Int16Array(shape[0] * shape[1] * shape[2]).fill(-1000)
  const at = (i: number, j: number, k: number) => i + shape[0] * (j + shape[1] * k)
  voxels[at(2090, 2, 5)] = 1500
  // Above 2048, where half precision knows even numbers only.
  voxels[at(2050, 4, 4)] = 3001
  voxels[at(2051, 4, 4)] = 3002
  return {
    data: voxels,
    indexToWorld: [step, 0, 0, 0, 0, step, 0, 0, 0, 0, step, 0, 10, -20, 30, 1] as const,
  }
}

const world = (i: number, j: number, k: number): Vec3 => [10 + step * i, -20 + step * j, 30 + step * k]

async function loaded(overrides = {}): Promise<Volume> {
  const files = writeSeries(createVolume({ data, shape, indexToWorld }), { seed: 'wide', overrides })
  return (await loadScan([inputFromBytes('wide.zip', zipSeries(files))])).volume
}

describe('a volume longer than a texture may be', () => {
  it('loads whole, its mark at column 2090', async () => {
    const volume = await loaded()
    expect(volume.shape).toEqual(shape)
    expect(toWorld(volume.indexToWorld, [2099, 7, 7]).map((c) => Number(c.toFixed(9)))).toEqual([
      429.8, -18.6, 31.4,
    ])
    expect(sampleAt(volume, world(2090, 2, 5))).toBeCloseTo(1500, 6)
    expect(Array.from(volume.data)).toEqual(Array.from(data))
  })

  it.each([
    ['along the rows', [step, 0, 0], [0, step, 0], world(2080, 0, 5), 20, 8],
    ['across them', [0, step, 0], [0, 0, step], world(2090, 0, 0), 8, 8],
  ] as const)('a picture %s shows the mark at its place', async (_, du, dv, origin, width, height) => {
    const pixels = reslice(await loaded(), { origin, du, dv, width, height })
    const seen = Array.from(pixels).flatMap((v, n) => (v > 0 && v < 2000 ? [n] : []))
    const [u, v] = width === 20 ? [10, 2] : [2, 5]
    expect(seen).toEqual([v * width + u])
    expect(pixels[v * width + u]).toBe(1500)
  })
})

describe('neighbours that differ by 1 above 2048', () => {
  it.each([
    ['whole numbers', {}],
    // Fractions of a slope elsewhere make the whole volume floating point.
    ['floating point', (k: number) => (k === 0 ? { RescaleSlope: 0.5 } : {})],
  ] as const)('read 3001 and 3002, in a picture as well: %s', async (_, overrides) => {
    const volume = await loaded(overrides)
    const [first, second] = [sampleAt(volume, world(2050, 4, 4)), sampleAt(volume, world(2051, 4, 4))]
    expect(first).toBeCloseTo(3001, 6)
    expect((second ?? 0) - (first ?? 0)).toBeCloseTo(1, 6)
    const plane = {
      origin: world(2050, 4, 4),
      du: [step, 0, 0],
      dv: [0, step, 0],
      width: 2,
      height: 1,
    } as const
    expect(Array.from(reslice(volume, plane))).toEqual([3001, 3002])
    expect(sampleAt(volume, world(2050.5, 4, 4))).toBeCloseTo(3001.5, 6)
  })
})

describe('the page', () => {
  const viewer = join(import.meta.dirname, '../../../viewer/src')
  const files = readdirSync(viewer, { recursive: true, encoding: 'utf8' }).filter((f) => f.endsWith('.ts'))
  const source = (file: string) => readFileSync(join(viewer, file), 'utf8')

  it('has no voxel in the graphics card: of vtk.js it takes surfaces alone', () => {
    const imports = files.flatMap((f) =>
      [...source(f).matchAll(/@kitware\/vtk\.js\/([\w/]+)\.js/g)].map((m) => m[1]),
    )
    expect(imports.length).toBeGreaterThan(5)
    expect(
      imports.filter((name) => /Volume|ImageMapper|ImageSlice|ImageData|Texture/.test(name ?? '')),
    ).toEqual([])
    expect(imports).toContain('Rendering/OpenGL/Profiles/Geometry')
  })

  it('reads no number back from a canvas', () => {
    const reading = files.filter((f) => /getImageData|readPixels|getScalars/.test(source(f)))
    // One pixel, to learn what a colour of the style sheet is.
    expect(reading).toEqual([join('scene', 'scene-colours.ts')])
  })
})
