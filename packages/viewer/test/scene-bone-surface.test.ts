import {
  createVolume,
  distance,
  enclosedVolume,
  type Mat4,
  type Mesh,
  toWorld,
  type Vec3,
  vertex,
} from '@alveometer/core'
import { describe, expect, it, vi } from 'vitest'
import { boneSurface } from '../src/scene/bone-surface.js'

const RADIUS = 5
const CENTRE: Vec3 = [12.3, -41.7, 63.9]
/** Grey of soft tissue and bone, and the spread of the edge (a logistic step) in mm. */
const SOFT = 40
const BONE = 1600
const EDGE_MM = 0.11

/** Columns: oblique unit axes (product of two rotations) times unequal steps; `mirror` makes the third left-handed. */
function obliqueGeometry(mirror: boolean): Mat4 {
  const a = 0.31
  const b = -0.52
  const [ca, sa, cb, sb] = [Math.cos(a), Math.sin(a), Math.cos(b), Math.sin(b)]
  const axes: Vec3[] = [
    [ca, sa, 0],
    [-sa * cb, ca * cb, sb],
    [sa * sb, -ca * sb, cb],
  ]
  const steps = [0.25, 0.3, mirror ? -0.4 : 0.4] as const
  const shape = [64, 58, 46] as const
  const columns = axes.map((axis, n) => axis.map((x) => x * (steps[n] as number)))
  const origin = [0, 1, 2].map(
    (r) =>
      (CENTRE[r] as number) -
      columns.reduce((sum, c, n) => sum + (c[r] as number) * (((shape[n] as number) - 1) / 2 + 0.37), 0),
  )
  return [...columns.flatMap((c) => [...c, 0]), ...origin, 1]
}

function ball(indexToWorld: Mat4, options: { noData?: number; speck?: boolean } = {}) {
  const shape: Vec3 = [64, 58, 46]
  const data = new Int16Array(shape[0] * shape[1] * shape[2])
  let at = 0
  for (let k = 0; k < shape[2]; k++)
    for (let j = 0; j < shape[1]; j++)
      for (let i = 0; i < shape[0]; i++) {
        const p = toWorld(indexToWorld, [i, j, k])
        const r = distance(p, CENTRE)
        let grey = SOFT + (BONE - SOFT) / (1 + Math.exp((r - RADIUS) / EDGE_MM))
        if (options.speck && i < 3 && j < 3 && k < 3) grey = BONE
        if (options.noData !== undefined && i > 48) grey = options.noData
        data[at++] = Math.round(grey)
      }
  return createVolume({
    data,
    shape,
    indexToWorld,
    ...(options.noData === undefined ? {} : { noData: options.noData }),
  })
}

const greyAtEdge = (SOFT + BONE) / 2
const surface = (volume: ReturnType<typeof ball>, extra = {}) =>
  boneSurface(volume, { centre: CENTRE, radiusMm: 7, isoGrey: greyAtEdge, ...extra })

const radii = (mesh: Mesh) =>
  Array.from({ length: mesh.positions.length / 3 }, (_, v) => distance(vertex(mesh, v), CENTRE))

/** Centre of the enclosed volume: tetrahedra from the origin. */
function centroid(mesh: Mesh): Vec3 {
  const sum = [0, 0, 0]
  let volume = 0
  for (let t = 0; t < mesh.triangles.length; t += 3) {
    const [a, b, c] = [0, 1, 2].map((n) => vertex(mesh, mesh.triangles[t + n] as number)) as unknown as [
      Vec3,
      Vec3,
      Vec3,
    ]
    const part =
      a[0] * (b[1] * c[2] - b[2] * c[1]) -
      a[1] * (b[0] * c[2] - b[2] * c[0]) +
      a[2] * (b[0] * c[1] - b[1] * c[0])
    for (let x = 0; x < 3; x++)
      sum[x] = (sum[x] as number) + (part * ((a[x] as number) + (b[x] as number) + (c[x] as number))) / 4
    volume += part
  }
  return [sum[0] as number, sum[1] as number, sum[2] as number].map((s) => s / volume) as unknown as Vec3
}

/** Every edge is walked once in each direction: a closed, evenly wound surface. */
function openEdges(mesh: Mesh): number {
  const seen = new Map<string, number>()
  for (let t = 0; t < mesh.triangles.length; t += 3)
    for (let n = 0; n < 3; n++) {
      const a = mesh.triangles[t + n] as number
      const b = mesh.triangles[t + ((n + 1) % 3)] as number
      const key = a < b ? `${a} ${b}` : `${b} ${a}`
      seen.set(key, (seen.get(key) ?? 0) + (a < b ? 1 : -1))
    }
  return [...seen.values()].filter((n) => n !== 0).length
}

describe.each([
  ['right-handed', false],
  ['left-handed', true],
])('bone surface of a ball in an oblique, anisotropic, %s grid', (_, mirror) => {
  const mesh = surface(ball(obliqueGeometry(mirror)))

  it('has the radius, the volume 4/3 pi R^3 with outward winding, and the centre of the ball', () => {
    const all = radii(mesh)
    const mean = all.reduce((s, r) => s + r, 0) / all.length
    expect(Math.abs(mean - RADIUS)).toBeLessThan(0.05)
    expect(Math.max(...all.map((r) => Math.abs(r - RADIUS)))).toBeLessThan(0.1)
    const exact = (4 / 3) * Math.PI * RADIUS ** 3
    expect(Math.abs(enclosedVolume(mesh) / exact - 1)).toBeLessThan(0.02)
    expect(distance(centroid(mesh), CENTRE)).toBeLessThan(0.02)
  })

  it('is closed: V - E + F = 2 and no open edge', () => {
    expect(openEdges(mesh)).toBe(0)
    const faces = mesh.triangles.length / 3
    expect(mesh.positions.length / 3 - (3 * faces) / 2 + faces).toBe(2)
  })
})

describe('bone surface', () => {
  it('keeps to the number of triangles asked for and stays near the ball', () => {
    const mesh = surface(ball(obliqueGeometry(false)), { targetTriangles: 1500 })
    expect(mesh.triangles.length / 3).toBeLessThanOrEqual(1500)
    expect(mesh.triangles.length / 3).toBeGreaterThan(500)
    const all = radii(mesh)
    expect(Math.abs(all.reduce((s, r) => s + r, 0) / all.length - RADIUS)).toBeLessThan(0.2)
  })

  it('drops small islands and treats voxels without data as no bone', () => {
    const volume = ball(obliqueGeometry(false), { speck: true, noData: -2000 })
    const mesh = boneSurface(volume, { centre: CENTRE, radiusMm: 20, isoGrey: greyAtEdge })
    expect(Math.max(...radii(mesh))).toBeLessThan(RADIUS + 0.5)
    expect(openEdges(mesh)).toBe(0)
    const exact = (4 / 3) * Math.PI * RADIUS ** 3
    expect(enclosedVolume(mesh)).toBeLessThan(0.99 * exact)
    expect(enclosedVolume(mesh)).toBeGreaterThan(0.5 * exact)
  })

  it('is empty where nothing reaches the grey value and refuses a site outside the scan', () => {
    const volume = ball(obliqueGeometry(false))
    expect(surface(volume, { isoGrey: 5000 }).triangles).toHaveLength(0)
    expect(() => surface(volume, { centre: [500, 0, 0] })).toThrow(/no part of the scan lies within 7 mm/)
    expect(() => surface(volume, { radiusMm: 0 })).toThrow(RangeError)
  })

  it('stops when told to and prints nothing', () => {
    const volume = ball(obliqueGeometry(false))
    expect(() => surface(volume, { signal: AbortSignal.abort(new Error('newer site')) })).toThrow(
      'newer site',
    )
    const spies = (['log', 'info', 'warn', 'time', 'timeEnd'] as const).map((name) => vi.spyOn(console, name))
    surface(volume)
    for (const spy of spies) expect(spy).not.toHaveBeenCalled()
    vi.restoreAllMocks()
  })
})
