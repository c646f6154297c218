import { describe, expect, it } from 'vitest'
import { blurredBall, blurredDisc, erf, normalCdf, plateStack } from '../src/index.js'
import { noScipy, runPython } from './outside.js'

/** The crossing of f - level between two points, by bisection. */
function crossing(f: (x: number) => number, level: number, from: number, to: number): number {
  let [low, high] = [from, to]
  const rising = f(from) < level
  for (let n = 0; n < 80; n++) {
    const middle = (low + high) / 2
    if (f(middle) < level === rising) low = middle
    else high = middle
  }
  return (low + high) / 2
}

/** The maximum of a one-peaked function, by golden section. */
function peak(f: (x: number) => number, from: number, to: number): [x: number, value: number] {
  let [a, b] = [from, to]
  const ratio = (Math.sqrt(5) - 1) / 2
  for (let n = 0; n < 120; n++) {
    const c = b - ratio * (b - a)
    const d = a + ratio * (b - a)
    if (f(c) > f(d)) b = d
    else a = c
  }
  return [(a + b) / 2, f((a + b) / 2)]
}

const slab = (t: number, s: number) => {
  const field = plateStack({
    origin: [0, 0, 0],
    normal: [0, 0, 1],
    faces: [-t, 0],
    greys: [400, 1500, 50],
    sigmaMm: s,
  })
  return (x: number) => field(0, 0, x)
}

describe('normalCdf and erf', () => {
  it.skipIf(noScipy)('agree with scipy.special to 2e-15', () => {
    const x = Array.from({ length: 401 }, (_, n) => (n - 200) * 0.04)
    const program = `import sys, json; from scipy.special import erf, ndtr
x = json.loads(sys.argv[1]); print(json.dumps([list(erf(x)), list(ndtr(x))]))`
    const [erfs, cdfs] = runPython(program, JSON.stringify(x)) as [number[], number[]]
    x.forEach((v, n) => {
      expect(Math.abs(erf(v) - (erfs[n] as number))).toBeLessThan(2e-15)
      expect(Math.abs(normalCdf(v) - (cdfs[n] as number))).toBeLessThan(2e-15)
    })
  })
})

describe('plateStack', () => {
  // Check value 1 of the measurement reference: slab 400 | 1500 | 50, faces at -t and 0.
  it.each([
    [0.5, 0.25, -1.5, 400.0348],
    [0.5, 0.25, -0.5, 917.0123],
    [0.5, 0.25, -0.25, 1095.4291],
    [0.5, 0.25, 0, 749.9749],
    [0.5, 0.25, 0.25, 278.5652],
    [0.5, 0.25, 1, 50.0459],
    [1, 0.25, -1, 949.9541],
    [1, 0.25, -0.5, 1441.9872],
    [1, 0.25, 0, 774.9652],
    [0.3, 0.35, -0.3, 666.2597],
    [0.3, 0.35, -0.15, 648.0002],
    [0.3, 0.35, 0, 559.7487],
  ])('of t %f and s %f at %f is %f', (t, s, x, value) => {
    expect(Math.abs(slab(t, s)(x) - value)).toBeLessThan(1e-4)
  })

  // Check value 2: peak, half-maximum (of local peak over the outside), 775 and 225, outer side; 2e-5 mm.
  it.each([
    [0.5, 0.25, 1101.26, 0.08298, -0.01213, 0.29216],
    [0.3, 0.25, 813.999, 0.13509, -0.1093, 0.28386],
    [0.75, 0.25, 1331.724, 0.03609, -0.00065, 0.29287],
    [0.5, 0.35, 904.722, 0.16745, -0.07553, 0.40361],
    [0.5, 0.15, 1379.574, 0.01556, -0.00012, 0.17573],
  ])('of t %f and s %f peaks at %f and crosses where it should', (t, s, top, half, mid, low) => {
    const f = slab(t, s)
    const [at, value] = peak(f, -t, 0.2)
    expect(Math.abs(value - top)).toBeLessThan(1e-3)
    expect(Math.abs(crossing(f, (value + 50) / 2, at, 3) - half)).toBeLessThan(2e-5)
    expect(Math.abs(crossing(f, 775, at, 3) - mid)).toBeLessThan(2e-5)
    expect(Math.abs(crossing(f, 225, at, 3) - low)).toBeLessThan(2e-5)
  })

  // Check value 3: half-maximum width of a symmetric sheet in units of s.
  it.each([
    [0.5, 2.3795],
    [1, 2.4546],
    [1.5, 2.5837],
    [2, 2.7714],
    [3, 3.3326],
    [4, 4.114],
    [5, 5.0311],
  ])('a sheet of t/s %f has a half-maximum width of %f s', (t, width) => {
    const field = plateStack({
      origin: [0, 0, 0],
      normal: [1, 0, 0],
      faces: [-t / 2, t / 2],
      greys: [0, 1, 0],
      sigmaMm: 1,
    })
    const f = (x: number) => field(x, 0, 0)
    expect(Math.abs(2 * crossing(f, f(0) / 2, 0, 9) - width)).toBeLessThan(1e-4)
    expect(f(0)).toBeCloseTo(erf(t / (2 * Math.SQRT2)), 12)
  })

  it('does not depend on the length of the normal and refuses a wrong number of greys', () => {
    const stack = {
      origin: [1, 2, 3],
      normal: [1, 2, 2],
      faces: [0.5],
      greys: [0, 100],
      sigmaMm: 0.2,
    } as const
    const longer = { ...stack, normal: [3, 6, 6] } as const
    expect(plateStack(stack)(1.3, 2.2, 3.1)).toBeCloseTo(plateStack(longer)(1.3, 2.2, 3.1), 12)
    expect(() => plateStack({ ...stack, greys: [1] })).toThrow(RangeError)
  })
})

describe('blurredDisc and blurredBall', () => {
  // Check values 4 and 5.
  it.each([
    [3, 0.3, 0, 1],
    [3, 0.3, 2.5, 0.946504],
    [3, 0.3, 3, 0.480028],
    [3, 0.3, 3.5, 0.043358],
    [1.5, 0.25, 1, 0.971149],
    [1.5, 0.25, 1.5, 0.466638],
    [1.5, 0.25, 2, 0.019124],
  ])('the disc of R %f and s %f at %f is %f', (R, s, r, value) => {
    expect(Math.abs(blurredDisc(r, R, s) - value)).toBeLessThan(1e-6)
  })

  it.each([
    [2.5, 0.940272],
    [3, 0.460106],
    [3.5, 0.039264],
  ])('the ball of R 3 and s 0.3 at %f is %f', (r, value) => {
    expect(Math.abs(blurredBall(r, 3, 0.3) - value)).toBeLessThan(1e-6)
  })

  it('falls to one half where the reference says', () => {
    expect(crossing((r) => blurredDisc(r, 3, 0.3), 0.5, 2, 4)).toBeCloseTo(2.984937, 5)
    expect(crossing((r) => blurredDisc(r, 1.5, 0.25), 0.5, 1, 2)).toBeCloseTo(1.478919, 5)
    expect(crossing((r) => blurredBall(r, 3, 0.3), 0.5, 2, 4)).toBeCloseTo(2.969797, 5)
  })

  it.skipIf(noScipy)('the disc agrees with the noncentral chi-square of scipy to 1e-9', () => {
    const cases = [
      [0.1, 0.5, 0.4],
      [4.9, 5, 0.15],
      [5.3, 5, 0.25],
      [0, 1, 0.35],
      [1.6, 1.5, 0.3],
      [2, 0.2, 0.5],
    ] as const
    const program = `import sys, json; from scipy.stats import ncx2
print(json.dumps([float(ncx2.cdf((R/s)**2, 2, (r/s)**2)) for r, R, s in json.loads(sys.argv[1])]))`
    const expected = runPython(
      program,
      JSON.stringify(cases.map(([r, R, s]) => [r || 1e-9, R, s])),
    ) as number[]
    cases.forEach(([r, R, s], n) => {
      expect(Math.abs(blurredDisc(r, R, s) - (expected[n] as number))).toBeLessThan(1e-9)
    })
  })
})
