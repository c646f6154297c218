import type { Relief } from './relief.js'

/** A point of a relief's picture, pixels from its upper left corner (pixel centres at halves). */
export type PicturePoint = readonly [x: number, y: number]

/** Lines shorter than this are specks, pixels. */
const shortestPx = 12
/** Half width of the average that takes the steps of the pixels out of a line. */
const smoothing = 3

/** The outline of the body in its picture: closed lines along the edges of the covered pixels, smoothed. */
export function silhouette({ width, height, depthMm }: Relief): PicturePoint[][] {
  // A relief has free pixels all round.
  const covered = (x: number, y: number): boolean => depthMm[y * width + x] < Infinity
  // From corner to corner of the pixels, with the body on the right hand.
  const next = new Map<number, number[]>()
  const stride = width + 1
  const side = (fromX: number, fromY: number, toX: number, toY: number): void => {
    const from = fromY * stride + fromX
    const ends = next.get(from)
    if (ends === undefined) next.set(from, [toY * stride + toX])
    else ends.push(toY * stride + toX)
  }
  for (let y = 1; y < height - 1; y++)
    for (let x = 1; x < width - 1; x++) {
      if (!covered(x, y)) continue
      if (!covered(x, y - 1)) side(x, y, x + 1, y)
      if (!covered(x + 1, y)) side(x + 1, y, x + 1, y + 1)
      if (!covered(x, y + 1)) side(x + 1, y + 1, x, y + 1)
      if (!covered(x - 1, y)) side(x, y + 1, x, y)
    }
  const loops: PicturePoint[][] = []
  for (const start of next.keys()) {
    const loop: PicturePoint[] = []
    let at = start
    for (;;) {
      const to = next.get(at)?.pop()
      if (to === undefined) break
      loop.push([at % stride, Math.floor(at / stride)])
      at = to
    }
    if (loop.length >= shortestPx) loops.push(smoothed(loop))
  }
  return loops
}

function smoothed(loop: readonly PicturePoint[]): PicturePoint[] {
  const size = loop.length
  const mean = (n: number, axis: 0 | 1): number => {
    let sum = 0
    for (let k = -smoothing; k <= smoothing; k++) sum += loop[(n + k + size) % size][axis]
    return sum / (2 * smoothing + 1)
  }
  return loop.flatMap((_, n) => (n % 2 === 0 ? [[mean(n, 0), mean(n, 1)] as const] : []))
}

/** Depth is read off every third pixel. */
const every = 3
/** Steeper walls would be black with lines: levels a cell. */
const steepest = 0.5

/** Pieces of the lines of equal depth, every `stepMm`, as pairs of points. */
export function contours({ width, height, depthMm }: Relief, stepMm: number): [PicturePoint, PicturePoint][] {
  const pieces: [PicturePoint, PicturePoint][] = []
  for (let y = 0; y + every < height; y += every)
    for (let x = 0; x + every < width; x += every) {
      const upper = y * width + x
      const lower = upper + every * width
      const a = depthMm[upper] / stepMm
      const b = depthMm[upper + every] / stepMm
      const c = depthMm[lower + every] / stepMm
      const d = depthMm[lower] / stepMm
      const low = Math.min(a, b, c, d)
      const high = Math.max(a, b, c, d)
      const level = Math.ceil(low)
      // Infinity beside the body is steep too.
      if (level > high || high - low > steepest) continue
      const cuts: PicturePoint[] = []
      const [left, top, right, bottom] = [x + 0.5, y + 0.5, x + every + 0.5, y + every + 0.5]
      const share = (from: number, to: number): number => (every * (level - from)) / (to - from)
      if (a < level !== b < level) cuts.push([left + share(a, b), top])
      if (b < level !== c < level) cuts.push([right, top + share(b, c)])
      if (c < level !== d < level) cuts.push([right - share(c, d), bottom])
      if (d < level !== a < level) cuts.push([left, bottom - share(d, a)])
      for (let n = 0; n + 1 < cuts.length; n += 2) pieces.push([cuts[n], cuts[n + 1]])
    }
  return pieces
}
