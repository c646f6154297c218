import { fromRows, sampleAt, toWorld } from '@alveometer/core'
import { describe, expect, it } from 'vitest'
import {
  ball,
  blurredDisc,
  blurredOutline,
  blurredRod,
  cubicGrid,
  cylinderShell,
  discStack,
  ellipse,
  extrude,
  normalCdf,
  plateStack,
  renderField,
  waves,
  wedge,
} from '../src/index.js'

/** Distance along a ray at which f changes sign. */
function root(f: (r: number) => number, from: number, to: number): number {
  let [low, high] = [from, to]
  const negative = f(from) < 0
  for (let n = 0; n < 60; n++) {
    const middle = (low + high) / 2
    if (f(middle) < 0 === negative) low = middle
    else high = middle
  }
  return (low + high) / 2
}

const radians = (deg: number) => (deg * Math.PI) / 180

/** Mean of a field that varies along x only over the ring inner < r < outer, by the midpoint rule in polar cells. */
function ringMean(f: (x: number) => number, inner: number, outer: number): number {
  let sum = 0
  let area = 0
  for (let a = 0; a < 200; a++) {
    const r = inner + ((a + 0.5) / 200) * (outer - inner)
    for (let b = 0; b < 720; b++) {
      sum += r * f(r * Math.cos(radians(b / 2 + 0.25)))
      area += r
    }
  }
  return sum / area
}

describe('outlines', () => {
  // Check value 6: cylinder of bone R 5, fixture axis 1.3 off towards angle 0, fixture radius 2.05.
  it.each([
    [0, 1.65],
    [45, 1.945535],
    [90, 2.778043],
    [135, 3.784012],
    [180, 4.25],
  ])('a disc of bone leaves the known margin at %f degrees', (deg, margin) => {
    const disc = ellipse(5, 5)
    const f = (r: number) => disc(1.3 + r * Math.cos(radians(deg)), r * Math.sin(radians(deg)))
    expect(root(f, 0, 12) - 2.05).toBeCloseTo(margin, 6)
  })

  // Check value 7: ellipse 4 x 7, fixture radius 2.
  it.each([
    [0, 2],
    [30, 2.386259],
    [45, 2.911525],
    [60, 3.685939],
    [90, 5],
  ])('an ellipse of bone leaves the known margin at %f degrees', (deg, margin) => {
    const f = (r: number) => ellipse(4, 7)(r * Math.cos(radians(deg)), r * Math.sin(radians(deg)))
    expect(root(f, 0, 12) - 2).toBeCloseTo(margin, 6)
  })

  // Check value 9: wedge of 20 degrees half angle, depth below its apex, fixture radius 1.5.
  it.each([
    [3, -0.408089],
    [5, 0.319851],
    [8, 1.411762],
  ])('a wedge leaves the known margin %f mm below its apex', (depth, margin) => {
    expect(root((r) => wedge(20)(r, -depth), 0, 12) - 1.5).toBeCloseTo(margin, 6)
  })

  it('blurred, a disc agrees with its closed form and a flat wedge with the plane', () => {
    const disc = blurredOutline(ellipse(1.5, 1.5), 0.25, 3)
    for (const r of [0, 0.7, 1.2, 1.5, 1.61, 2.2])
      expect(Math.abs(disc(r * 0.6, r * 0.8) - blurredDisc(r, 1.5, 0.25))).toBeLessThan(5e-4)
    const plane = blurredOutline(wedge(90), 0.3, 3)
    for (const v of [-0.8, -0.3, 0, 0.2, 0.61])
      expect(Math.abs(plane(0.4, v) - normalCdf(-v / 0.3))).toBeLessThan(5e-4)
  })
})

describe('closed-form grey means', () => {
  // Check value 13: core R 2 in a half-space 400 | 50 with its face at d, blurred by 0.25.
  it.each([
    [0, 225],
    [0.5, 279.6626],
    [1, 330.5461],
    [1.5, 372.6034],
  ])('a core with the face %f mm off its axis has mean %f', (d, mean) => {
    const field = plateStack({
      origin: [d, 0, 0],
      normal: [1, 0, 0],
      faces: [0],
      greys: [400, 50],
      sigmaMm: 0.25,
    })
    expect(Math.abs(ringMean((x) => field(x, 0, 0), 0, 2) - mean)).toBeLessThan(0.01)
  })

  // Check value 14, tolerance 0.2 %: ring 2.0 to 2.5, plate 400 | 1500 | 50 of 0.5 mm with its outer face at d.
  it.each([
    [3, 423.5529],
    [2.3, 530.9102],
  ])('a shell with the plate at %f mm has mean %f', (d, mean) => {
    const field = plateStack({
      origin: [d, 0, 0],
      normal: [1, 0, 0],
      faces: [-0.5, 0],
      greys: [400, 1500, 50],
      sigmaMm: 0.25,
    })
    expect(Math.abs(ringMean((x) => field(x, 0, 0), 2, 2.5) / mean - 1)).toBeLessThan(0.002)
  })
})

describe('cylinderShell', () => {
  const shell = cylinderShell({
    ...{ origin: [0, 0, 0], axis: [0, 0, 2], towards: [1, 0, 5] },
    ...{ outerRadiusMm: 5, innerRadiusMm: 3.55, eccentricityMm: 1.05, sigmaMm: 0.05 },
    ...{ greyOutside: 50, greyShell: 1500, greyInside: 400 },
  })

  it('is thinnest (R - Ri - e) towards the given side and thickest opposite', () => {
    const grey = (x: number) => shell(x, 0, 7)
    expect(root((x) => grey(x) - 950, 4, 4.8)).toBeCloseTo(4.6, 2)
    expect(root((x) => grey(x) - 950, -4, -1)).toBeCloseTo(-2.5, 2)
    expect(root((x) => 775 - grey(x), 4.9, 6)).toBeCloseTo(5, 2)
    expect([grey(-3.5), grey(0), grey(8)].map(Math.round)).toEqual([1500, 400, 50])
  })
})

describe('renderField', () => {
  it('fills any pose: oblique, anisotropic voxels show the field at their world points', () => {
    const c = Math.cos(0.4)
    const s = Math.sin(0.4)
    const rows = [0.3 * c, 0, 0.5 * s, -2, 0, 0.2, 0, 4, -0.3 * s, 0, 0.5 * c, 9, 0, 0, 0, 1]
    const grid = { shape: [6, 9, 5], indexToWorld: fromRows(rows) } as const
    const field = (x: number, y: number, z: number) => 100 * x - 50 * y + 20 * z
    const volume = renderField(field, grid, { type: 'float32' })
    const world = toWorld(grid.indexToWorld, [2.5, 3.25, 1.75])
    expect(sampleAt(volume, world)).toBeCloseTo(field(...(world as [number, number, number])), 2)
    volume.spacingMm.forEach((mm, a) => {
      expect(mm).toBeCloseTo([0.3, 0.2, 0.5][a] as number, 12)
    })
  })

  it('rounds to whole grey values, adds noise and refuses noise of another size', () => {
    const grid = cubicGrid([2, 2, 1], 1, [10, 20, 30])
    const volume = renderField((x) => x, grid, { noise: Float32Array.of(1, 2, 3, 4) })
    expect([...volume.data]).toEqual([11, 13, 13, 15])
    expect(() => renderField(() => 0, grid, { noise: new Float32Array(3) })).toThrow(RangeError)
  })

  it('shows a ball and an extruded disc with the blur of their closed forms', () => {
    const b = ball({ centre: [1, 1, 1], radiusMm: 3, greyInside: 100, greyOutside: 0, sigmaMm: 0.3 })
    expect(b(1, 4, 1)).toBeCloseTo(46.0106, 3)
    const rod = extrude((u, v) => blurredDisc(Math.hypot(u, v), 3, 0.3), {
      ...{ origin: [0, 0, 0], axis: [1, 1, 0], u: [0, 0, 1] },
      ...{ greyInside: 100, greyOutside: 0 },
    })
    expect(rod(5, 5, 3)).toBeCloseTo(48.0028, 3)
  })
})

describe('discStack', () => {
  it('adds gum and air round a shell: each rim is seen at its own radius', () => {
    const field = discStack({
      ...{ origin: [0, 0, 0], axis: [0, 0, 1], towards: [1, 0, 0], sigmaMm: 0.05, greyOutside: -1000 },
      discs: [
        { radiusMm: 6.5, shiftMm: 0, grey: 50 },
        { radiusMm: 5, shiftMm: 0, grey: 1500 },
        { radiusMm: 3.55, shiftMm: 1.05, grey: 400 },
      ],
    })
    const grey = (x: number) => field(x, 0, 3)
    expect([grey(0), grey(4.8), grey(6), grey(8)].map(Math.round)).toEqual([400, 1500, 50, -1000])
    expect(root((x) => grey(x) + 475, 6.2, 6.8)).toBeCloseTo(6.5, 2)
  })
})

describe('blurredRod', () => {
  const rod = { origin: [1, 2, 3], axis: [0, 0, 2], radiusMm: 0.4, fromMm: -0.6, toMm: 0.6 } as const

  it('holds the volume of the cylinder, wherever the blur carries it', () => {
    const field = blurredRod({ ...rod, sigmaMm: 0.25 })
    let sum = 0
    for (let x = -2; x <= 2; x += 0.1)
      for (let y = -2; y <= 2; y += 0.1)
        for (let z = -2.4; z <= 2.4; z += 0.1) sum += field(1 + x, 2 + y, 3 + z) * 0.001
    expect(sum).toBeCloseTo(Math.PI * 0.4 ** 2 * 1.2, 4)
  })

  it('is half full at its end and as a disc across', () => {
    const field = blurredRod({ ...rod, radiusMm: 3, sigmaMm: 0.1 })
    expect(field(1, 2, 3.6)).toBeCloseTo(0.5, 6)
    expect(blurredRod({ ...rod, fromMm: -5, toMm: 5, sigmaMm: 0.25 })(1.3, 2, 3)).toBeCloseTo(
      blurredDisc(0.3, 0.4, 0.25),
      6,
    )
  })
})

describe('waves', () => {
  it('has the mean, the deviation and the correlation it was asked for, and less of each when blurred', () => {
    const ask = { meanGrey: 400, sd: 150, lengthMm: 0.35 }
    const products = [0, 0, 0]
    const count = 4000
    for (let n = 0; n < count; n++) {
      const sharp = waves({ ...ask, sigmaMm: 0, seed: `w${n % 200}` })
      const blurred = waves({ ...ask, sigmaMm: 0.25, seed: `w${n % 200}` })
      const x = 0.61 * n
      products[0] += (sharp(x, 0, 0) - 400) ** 2 / count
      products[1] += ((sharp(x, 0, 0) - 400) * (sharp(x, 0.35, 0) - 400)) / count
      products[2] += (blurred(x, 0, 0) - 400) ** 2 / count
    }
    // exp(-d^2 / (4 l^2)) at d = l, and (1 + s^2 / l^2)^(-3/2) for a Gaussian field blurred in three directions.
    expect(Math.abs(products[0] / 150 ** 2 - 1)).toBeLessThan(0.08)
    expect(Math.abs(products[1] / 150 ** 2 - Math.exp(-0.25))).toBeLessThan(0.08)
    expect(Math.abs(products[2] / 150 ** 2 - (1 + (0.25 / 0.35) ** 2) ** -1.5)).toBeLessThan(0.06)
  })
})
