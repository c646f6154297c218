import {
  blurredBall,
  createRandom,
  cubicGrid,
  cylinderShell,
  type Field,
  type Grid,
  plateStack,
  renderField,
} from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import {
  NODE_BONE,
  NODE_OUTSIDE,
  NODE_UNSCANNED,
  type SiteSurface,
  siteSurface,
  siteSurfaceSteps,
  surfaceSampler,
} from '../src/bone/index.js'
import { boneModel, normalize, type Vec3 } from '../src/index.js'

const region = { lowMm: [-8, -8, -6], highMm: [8, 8, 8] } as const
const grid = (spacingMm: number) =>
  cubicGrid(
    [100, 100, 90].map((n) => Math.round((n * 0.2) / spacingMm)) as unknown as Vec3,
    spacingMm,
    [0.03, 0.05, 1.02],
  )

const surfaceOf = (field: Field, on: Grid): SiteSurface =>
  siteSurface(boneModel(renderField(field, on)), region)

/** Differences from the true distance at places drawn by lot, from so deep in bone to so far outside. */
function errors(
  surface: SiteSurface,
  truth: (x: number, y: number, z: number) => number,
  [leastMm, greatestMm]: readonly [number, number],
): number[] {
  const random = createRandom('places')
  const at = surfaceSampler(surface)
  const found: number[] = []
  while (found.length < 3000) {
    const [x, y, z] = [14 * random.uniform() - 7, 14 * random.uniform() - 7, 10 * random.uniform() - 5]
    const mm = truth(x, y, z)
    if (mm > leastMm && mm < greatestMm) found.push(at(x, y, z) - mm)
  }
  return found
}

const share = (values: readonly number[], part: number) =>
  values.map(Math.abs).sort((a, b) => a - b)[Math.floor(part * values.length)]

describe('distances to bodies in closed form, without noise', () => {
  for (const [spacingMm, sigmaMm, barMm] of [
    [0.2, 0.25, 0.01],
    [0.3, 0.25, 0.01],
    [0.4, 0.35, 0.015],
  ] as const) {
    test(`a ridge between two tilted planes, voxels ${spacingMm} mm: 99 % within ${barMm} mm, in bone and outside`, () => {
      const normal = normalize([1, 0.25, -0.3])
      const faces = [-5, -3, 1.5, 3.5]
      const greys = [50, 1500, 400, 1500, 50]
      const surface = surfaceOf(
        plateStack({ origin: [0, 0, 0], normal, faces, greys, sigmaMm }),
        grid(spacingMm),
      )
      const along = (x: number, y: number, z: number) => normal[0] * x + normal[1] * y + normal[2] * z
      const truth = (x: number, y: number, z: number) => Math.min(3.5 - along(x, y, z), 5 + along(x, y, z))
      expect(share(errors(surface, truth, [-2, 3.5]), 0.99)).toBeLessThan(barMm)
    })

    test(`a tilted cylinder of bone, voxels ${spacingMm} mm: 95 % within ${barMm} mm`, () => {
      const axis = normalize([0.15, -0.1, 1])
      const shell = cylinderShell({
        origin: [0, 0, 0],
        axis,
        towards: normalize([axis[2], 0, -axis[0]]),
        outerRadiusMm: 5,
        innerRadiusMm: 2.8,
        eccentricityMm: 0,
        sigmaMm,
        greyOutside: 50,
        greyShell: 1500,
        greyInside: 400,
      })
      const truth = (x: number, y: number, z: number) => {
        const t = x * axis[0] + y * axis[1] + z * axis[2]
        return 5 - Math.hypot(x - t * axis[0], y - t * axis[1], z - t * axis[2])
      }
      expect(share(errors(surfaceOf(shell, grid(spacingMm)), truth, [-1.5, 4]), 0.95)).toBeLessThan(barMm)
    })
  }

  // A ball bends both ways and is cortex throughout: by the known blur alone 95 % come out within 0.02 mm.
  test('a ball of 6 mm: 95 % within 0.02 mm', () => {
    const field: Field = (x, y, z) => 50 + 1450 * blurredBall(Math.hypot(x, y, z - 1), 6, 0.25)
    const truth = (x: number, y: number, z: number) => 6 - Math.hypot(x, y, z - 1)
    expect(share(errors(surfaceOf(field, grid(0.2)), truth, [-0.8, 4]), 0.95)).toBeLessThan(0.02)
  })

  test('the scan lies askew: the same distances', () => {
    const [c, s] = [Math.cos(0.4), Math.sin(0.4)]
    const h = 0.2
    const indexToWorld = [
      c * h,
      s * h,
      0,
      0,
      -s * h,
      c * h,
      0,
      0,
      0,
      0,
      h,
      0,
      -10 * c + 10 * s,
      -10 * s - 10 * c,
      -8,
      1,
    ]
    const normal = normalize([1, 0.25, -0.3])
    const greys = [50, 1500, 400, 1500, 50]
    const field = plateStack({ origin: [0, 0, 0], normal, faces: [-5, -3, 1.5, 3.5], greys, sigmaMm: 0.25 })
    const surface = surfaceOf(field, { shape: [100, 100, 90], indexToWorld })
    const along = (x: number, y: number, z: number) => normal[0] * x + normal[1] * y + normal[2] * z
    const truth = (x: number, y: number, z: number) => Math.min(3.5 - along(x, y, z), 5 + along(x, y, z))
    expect(share(errors(surface, truth, [-1.5, 3]), 0.95)).toBeLessThan(0.01)
  })
})

const plates = plateStack({
  origin: [0, 0, 0],
  normal: [1, 0, 0],
  faces: [-6, -4, 2, 4],
  greys: [50, 1500, 400, 1500, 50],
  sigmaMm: 0.25,
})

describe('the record', () => {
  const model = boneModel(renderField(plates, grid(0.2)))
  const surface = siteSurface(model, region)

  test('a cubic grid of whole steps that holds the region', () => {
    expect(surface.stepMm).toBe(0.25)
    expect(surface.originMm).toEqual([-8, -8, -6])
    expect(surface.shape).toEqual([65, 65, 57])
    const nodes = 65 * 65 * 57
    for (const values of [surface.distanceMm, surface.kinds, surface.hardness])
      expect(values.length).toBe(nodes)
  })

  test('kinds go with the sign of the distance', () => {
    const wrong = surface.distanceMm.filter((mm, n) =>
      surface.kinds[n] === NODE_BONE ? !(mm >= 0) : !(mm <= 0),
    )
    expect(wrong.length).toBe(0)
    expect(surface.kinds.includes(NODE_UNSCANNED)).toBe(false)
    expect(surface.kinds.includes(NODE_OUTSIDE)).toBe(true)
  })

  test('hardness is 64 in the middle of a plate and about a quarter of it in marrow', () => {
    const at = (x: number) =>
      surface.hardness[Math.round((x + 8) / 0.25) + 65 * (32 + 65 * Math.round(6 / 0.25))]
    // Marrow of 400 between 50 and 1500: a share of 0.24.
    expect(Math.abs(at(-1) - 0.24 * 64)).toBeLessThan(2)
    expect(Math.abs(at(3) - 64)).toBeLessThan(2)
  })

  test('the same twice to the bit, and in steps', () => {
    const steps = siteSurfaceSteps(model, region)
    let pauses = 0
    let step = steps.next()
    while (!step.done) {
      pauses++
      step = steps.next()
    }
    expect(pauses).toBeGreaterThan(30)
    expect(step.value.distanceMm).toEqual(surface.distanceMm)
    expect(step.value.kinds).toEqual(surface.kinds)
    expect(step.value.hardness).toEqual(surface.hardness)
  })

  test('two regions share nodes, and their values where the nearest end lies in both', () => {
    const part = siteSurface(model, { lowMm: [-7.4, -5.1, -3.3], highMm: [7.3, 5.2, 5.1] })
    expect(part.originMm.map((mm) => (mm / 0.25) % 1)).toEqual([-0, -0, -0])
    const [at, inPart] = [surfaceSampler(surface), surfaceSampler(part)]
    for (let x = -7; x < 7; x += 0.25) expect(Math.abs(at(x, 1, 1) - inPart(x, 1, 1))).toBeLessThan(1e-4)
  })

  test('a region without size, or out of all measure, is refused', () => {
    expect(() => siteSurface(model, { lowMm: [0, 0, 0], highMm: [0, 5, 5] })).toThrow(RangeError)
    expect(() => siteSurface(model, { lowMm: [0, 0, 0], highMm: [Number.NaN, 5, 5] })).toThrow(RangeError)
    expect(() => siteSurface(model, { lowMm: [-5e3, -5e3, 0], highMm: [5e3, 5e3, 5] })).toThrow(RangeError)
  })

  test('a region beside the scan was not scanned', () => {
    const beside = siteSurface(model, { lowMm: [100, 0, 0], highMm: [104, 4, 4] })
    expect(new Set(beside.kinds)).toEqual(new Set([NODE_UNSCANNED]))
    expect(surfaceSampler(beside)(102, 2, 2)).toBeLessThan(0)
  })
})

describe('what is bone', () => {
  test('voids in marrow are; a socket of 4 mm is not', () => {
    const hollow: Field = (x, y, z) => {
      const hole = blurredBall(Math.hypot(x + 1, y, z - 1), 1.2, 0.25)
      const socket = Math.hypot(y - 4, z - 1) < 2 && x > -1 ? 1 : 0
      return socket === 1 ? 50 : plates(x, y, z) - 450 * hole
    }
    const at = surfaceSampler(siteSurface(boneModel(renderField(hollow, grid(0.2))), region))
    expect(at(-1, 0, 1)).toBeGreaterThan(1)
    expect(at(2, 4, 1)).toBeLessThan(-1)
    expect(at(-0.2, 4, 1)).toBeLessThan(0)
  })
})
