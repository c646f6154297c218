import { NODE_UNSCANNED, type SiteSurface } from './site-surface-result.js'

/** Nodes along the edge of a block. */
const BLOCK = 4

/** No more than the distance from a place, in grid units, to the nearest node that was not scanned, mm. */
export type UnscannedBound = (i: number, j: number, k: number) => number

const known = new WeakMap<Uint8Array, UnscannedBound | null>()

/** Null where all of a site was scanned. Worked out once for a surface. */
export function unscannedBound(
  surface: Pick<SiteSurface, 'kinds' | 'shape' | 'stepMm'>,
): UnscannedBound | null {
  const bound = known.get(surface.kinds)
  if (bound !== undefined) return bound
  const found = boundOf(surface)
  known.set(surface.kinds, found)
  return found
}

function boundOf({
  kinds,
  shape,
  stepMm,
}: Pick<SiteSurface, 'kinds' | 'shape' | 'stepMm'>): UnscannedBound | null {
  if (!kinds.includes(NODE_UNSCANNED)) return null
  const size = shape.map((n) => Math.ceil(n / BLOCK))
  const squared = new Float64Array(size[0] * size[1] * size[2]).fill(Number.POSITIVE_INFINITY)
  for (let k = 0, at = 0; k < shape[2]; k++)
    for (let j = 0; j < shape[1]; j++)
      for (let i = 0; i < shape[0]; i++, at++)
        if (kinds[at] === NODE_UNSCANNED) squared[blockOf(i, j, k, size)] = 0
  const strides = [1, size[0], size[0] * size[1]]
  for (const axis of [0, 1, 2]) nearestAlong(squared, size[axis], strides[axis])
  // A place and a node both lie within half a block's diagonal of their blocks' middles.
  const slackMm = BLOCK * stepMm * Math.sqrt(3)
  return (i, j, k) => {
    const at = blockOf(
      Math.min(shape[0] - 1, Math.max(0, i)),
      Math.min(shape[1] - 1, Math.max(0, j)),
      Math.min(shape[2] - 1, Math.max(0, k)),
      size,
    )
    return Math.sqrt(squared[at]) * BLOCK * stepMm - slackMm
  }
}

const blockOf = (i: number, j: number, k: number, [nx, ny]: readonly number[]): number =>
  Math.floor(i / BLOCK) + nx * (Math.floor(j / BLOCK) + ny * Math.floor(k / BLOCK))

/** Squared distances along one axis: the least of each line's values and the squared way to them. */
function nearestAlong(squared: Float64Array, count: number, stride: number): void {
  const line = new Float64Array(count)
  for (let n = 0; n < squared.length; n++) {
    if (Math.floor(n / stride) % count !== 0) continue
    for (let a = 0; a < count; a++) line[a] = squared[n + a * stride]
    for (let a = 0; a < count; a++) {
      let least = Number.POSITIVE_INFINITY
      for (let b = 0; b < count; b++) least = Math.min(least, line[b] + (a - b) * (a - b))
      squared[n + a * stride] = least
    }
  }
}
