import { invert, type Mesh, type PlacedCrown, transformDirection, type Vec3 } from '@alveometer/core'
import type { ViewAxes } from '../drawing/view.js'
import { vertexNormals } from '../scene/solids.js'
import { contours, type PicturePoint, silhouette } from './outlines.js'
import { type Relief, relief } from './relief.js'

/** What is drawn of a crown's shape: its relief, and lines in the relief's own pixels as path data. */
export interface DrawnCrown {
  readonly relief: Relief
  readonly outline: string
  readonly contours: string
}

/** Larger pictures cost more than they show, pixels. */
const largest = 350_000
/** Height between two contour lines, mm. */
const contourMm = 0.5

const normals = new WeakMap<Mesh, Float32Array>()

function normalsOf(mesh: Mesh): Float32Array {
  const known = normals.get(mesh)
  if (known) return known
  const made = vertexNormals(mesh)
  normals.set(mesh, made)
  return made
}

/** The picture of a crown, made anew only when the crown, the direction it is seen from or the scale is another. */
export class CrownRelief {
  #last: DrawnCrown | null = null
  #mesh: Mesh | null = null

  of({ crown, pose }: PlacedCrown, axes: ViewAxes, pixelsPerMm: number, areaMm2: number): DrawnCrown {
    const toCrown = invert(pose)
    const right = transformDirection(toCrown, axes.right)
    const down = transformDirection(toCrown, axes.down)
    const scale = Math.min(pixelsPerMm, Math.sqrt(largest / Math.max(1, areaMm2)))
    const last = this.#last
    if (last !== null && this.#mesh === crown.mesh) {
      const seen = last.relief
      const same =
        near(seen.right, right) && near(seen.down, down) && Math.abs(seen.pixelsPerMm / scale - 1) < 1e-9
      if (same) return last
    }
    const made = relief(crown.mesh, normalsOf(crown.mesh), { right, down, pixelsPerMm: scale })
    this.#mesh = crown.mesh
    this.#last = {
      relief: made,
      outline: silhouette(made)
        .map((loop) => `${line(loop)}Z`)
        .join(''),
      contours: contours(made, contourMm).map(line).join(''),
    }
    return this.#last
  }
}

/** Directions are unit vectors: 1e-6 is a thousandth of a pixel over the whole crown. */
const near = (a: Vec3, b: Vec3): boolean => a.every((v, n) => Math.abs(v - b[n]) < 1e-6)

const line = (points: readonly PicturePoint[]): string =>
  `M${points.map(([x, y]) => `${x.toFixed(1)},${y.toFixed(1)}`).join('L')}`

/** How much of the sheet's ink the darkest place of a crown takes. */
const darkest = 0.6

/** Draws a relief as shade alone, black of different strengths: the colour below it is the sheet's. */
export function paintShade(canvas: HTMLCanvasElement, { width, height, depthMm, light }: Relief): void {
  canvas.width = width
  canvas.height = height
  const context = canvas.getContext('2d')
  if (context === null) return
  const picture = context.createImageData(width, height)
  for (let n = 0; n < light.length; n++)
    if (depthMm[n] < Infinity) picture.data[4 * n + 3] = 255 * darkest * (1 - light[n])
  context.putImageData(picture, 0, 0)
}
