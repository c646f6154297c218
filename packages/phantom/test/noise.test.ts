import { describe, expect, it } from 'vitest'
import { correlatedNoise, createRandom, gaussianBlur, gaussianKernel, whiteNoise } from '../src/index.js'

const shape = [64, 64, 64] as const

function statistics(noise: Float32Array, step: number): { mean: number; sd: number; correlation: number } {
  let sum = 0
  let squares = 0
  let products = 0
  for (let i = 0; i < noise.length; i++) {
    const v = noise[i] as number
    sum += v
    squares += v * v
    products += v * (noise[(i + step) % noise.length] as number)
  }
  const mean = sum / noise.length
  const variance = squares / noise.length - mean * mean
  return { mean, sd: Math.sqrt(variance), correlation: (products / noise.length - mean * mean) / variance }
}

describe('createRandom', () => {
  it('gives the same numbers for the same seed and others for another', () => {
    const draw = (seed: string) => Array.from({ length: 5 }, createRandom(seed).uniform)
    expect(draw('a')).toEqual(draw('a'))
    expect(draw('a')).not.toEqual(draw('b'))
  })

  it('has the moments of a uniform and of a standard normal', () => {
    const { uniform, normal } = createRandom(7)
    const n = 200_000
    let u = 0
    let z2 = 0
    let z4 = 0
    for (let i = 0; i < n; i++) {
      u += uniform()
      const z = normal()
      z2 += z * z
      z4 += z ** 4
    }
    // Four standard errors: sqrt(1/12n), sqrt(2/n), sqrt(96/n).
    expect(Math.abs(u / n - 0.5)).toBeLessThan(4 * Math.sqrt(1 / 12 / n))
    expect(Math.abs(z2 / n - 1)).toBeLessThan(4 * Math.sqrt(2 / n))
    expect(Math.abs(z4 / n - 3)).toBeLessThan(4 * Math.sqrt(96 / n))
  })
})

describe('whiteNoise and correlatedNoise', () => {
  it('white noise has the wanted deviation and no memory', () => {
    const { mean, sd, correlation } = statistics(whiteNoise(shape, 100, 's'), 1)
    expect(Math.abs(mean)).toBeLessThan(1)
    expect(Math.abs(sd - 100)).toBeLessThan(0.6)
    expect(Math.abs(correlation)).toBeLessThan(0.01)
  })

  it.each([0.6, 0.8])(
    'noise of sigma %f voxel keeps its deviation and has the correlation of its kernel',
    (sigma) => {
      const noise = correlatedNoise(shape, 55, sigma, 's')
      const kernel = gaussianKernel(sigma)
      const overlap = (lag: number) => kernel.reduce((sum, w, n) => sum + w * (kernel[n + lag] ?? 0), 0)
      for (const [axis, step] of [1, 64, 4096].entries()) {
        const { sd, correlation } = statistics(noise, step)
        expect(Math.abs(sd - 55), `axis ${axis}`).toBeLessThan(0.8)
        expect(Math.abs(correlation - overlap(1) / overlap(0)), `axis ${axis}`).toBeLessThan(0.02)
      }
    },
  )
})

describe('gaussianBlur', () => {
  it('spreads a point to the product of three kernels and keeps its sum', () => {
    const size = [21, 19, 17] as const
    const data = new Float32Array(21 * 19 * 17)
    data[10 + 21 * (9 + 19 * 8)] = 1
    gaussianBlur(data, size, [1, 0.7, 1.3], 'repeat')
    const [kx, ky, kz] = [gaussianKernel(1), gaussianKernel(0.7), gaussianKernel(1.3)]
    const tap = (kernel: Float64Array, n: number) => kernel[(kernel.length - 1) / 2 + n] ?? 0
    for (const [i, j, k] of [
      [0, 0, 0],
      [1, 0, -1],
      [-2, 1, 2],
      [3, -2, 0],
    ] as const) {
      const value = data[10 + i + 21 * (9 + j + 19 * (8 + k))] as number
      expect(value).toBeCloseTo(tap(kx, i) * tap(ky, j) * tap(kz, k), 7)
    }
    expect(data.reduce((sum, v) => sum + v, 0)).toBeCloseTo(1, 5)
  })
})
