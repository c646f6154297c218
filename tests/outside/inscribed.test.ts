import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { axisPoint, boneModel, radialDirection, refinedMargin } from '@alveometer/core'
import { expect, test } from 'vitest'
import { shellScene } from '../accuracy/scenes/shell.js'
import { quantile } from '../accuracy/summary.js'
import { describeWithPython, type RunPython, runWithArrays } from '../outside-python.js'

/** Plates of 1.0 to 2.6 mm round the ring, all thicker than 4 sigma of the blur. */
const PLATE = { outerMm: 5, innerMm: 3.2, eccentricityMm: 0.8 }
const GREYS = { softGrey: 50, cortexGrey: 1500, marrowGrey: 400 }

/**
 * Diameter of the circle that touches both rims where the plate has a thickness along the outer normal: its middle lies
 * R - r from the outer centre and Ri + r from the inner one.
 */
function inscribedMm(thicknessMm: number): number {
  const { outerMm, innerMm, eccentricityMm: e } = PLATE
  const q = outerMm - thicknessMm
  const cosine = (q * q + e * e - innerMm * innerMm) / (2 * q * e)
  return (outerMm ** 2 + e * e - innerMm ** 2 - 2 * outerMm * e * cosine) / (outerMm + innerMm - e * cosine)
}

interface Rays {
  readonly cortexMm: number[]
  readonly ballMm: number[]
  readonly closedFormMm: number[]
}

/** Our plates, SciPy's inscribed balls and the true ones, on the rays of the fixture's middle. */
function measure(run: RunPython, noiseSd: number, smoothingMm: number): Rays {
  const scene = shellScene(
    { spacingMm: 0.2, sigmaMm: 0.2, noiseSd, textureSd: noiseSd, plate: PLATE, ...GREYS },
    'inscribed',
  )
  const { volume, frame, profile, truth } = scene
  const grid = { depthsMm: scene.grid.depthsMm.slice(2, 5), anglesDeg: scene.grid.anglesDeg }
  const margin = refinedMargin(boneModel(volume), frame, profile, grid)
  const { softGrey, cortexGrey, marrowGrey } = GREYS
  const { thickness } = runWithArrays(
    run,
    readFileSync(join(import.meta.dirname, 'inscribed.py'), 'utf8'),
    {
      voxels: volume.data,
      matrix: Float64Array.from(volume.indexToWorld),
      hits: margin.hits.points,
      settings: Float64Array.from([...volume.shape, softGrey, cortexGrey, marrowGrey, smoothingMm]),
    },
    ['thickness'],
  )
  return {
    cortexMm: [...margin.cortexMm],
    ballMm: [...thickness],
    closedFormMm: grid.depthsMm.flatMap((depth) =>
      grid.anglesDeg.map((angle) =>
        inscribedMm(truth(axisPoint(frame, depth), radialDirection(frame, angle)).thicknessMm),
      ),
    ),
  }
}

const absolute = (a: readonly number[], b: readonly number[]) => a.map((v, n) => Math.abs(v - b[n]))

// Local thickness is that of the greatest inscribed ball: Hildebrand and Rueegsegger, J Microsc 1997;185:67 (from memory).
describeWithPython('cortical thickness against inscribed balls', ['numpy', 'scipy'], (run) => {
  test('without noise: every ray within 0.1 mm', () => {
    const { cortexMm, ballMm, closedFormMm } = measure(run, 0, 0)
    expect(cortexMm).toHaveLength(144)
    // The transform itself: lattice and ridge make its balls a little small.
    expect(Math.max(...absolute(ballMm, closedFormMm))).toBeLessThan(0.06)
    expect(Math.max(...absolute(cortexMm, ballMm))).toBeLessThan(0.1)
  })

  test('noise and marrow texture of 100: 95 % of the rays within 0.1 mm', () => {
    // Noise roughens the faces, and the transform sees the nearest rough spot: it gets a smoothed scan, blurred by 0.28 mm.
    const { cortexMm, ballMm, closedFormMm } = measure(run, 100, 0.2)
    const thick = closedFormMm.map((mm) => mm > 4 * Math.hypot(0.2, 0.2))
    const off = absolute(cortexMm, ballMm).filter((_, n) => thick[n])
    expect(off.length).toBeGreaterThan(100)
    expect(quantile(off, 0.95)).toBeLessThan(0.1)
    // The balls are 0.02 mm small by their lattice; the plates' own bias is told by the closed form.
    const bias = cortexMm.map((mm, n) => mm - closedFormMm[n])
    expect(Math.abs(quantile(bias, 0.5))).toBeLessThan(0.03)
  })
})
