import type { Mesh } from '../src/space/index.js'

/** A block from the cervical plane to z = -lengthMm, wide enough for every channel below. */
export function block(lengthMm: number, half = 12): Mesh {
  const positions = [0, -lengthMm].flatMap((z) =>
    [
      [-half, -half],
      [half, -half],
      [half, half],
      [-half, half],
    ].flatMap(([x, y]) => [x, y, z]),
  )
  const quads = [
    [0, 1, 2, 3],
    [7, 6, 5, 4],
    [0, 4, 5, 1],
    [1, 5, 6, 2],
    [2, 6, 7, 3],
    [3, 7, 4, 0],
  ]
  return {
    positions: Float64Array.from(positions),
    triangles: Uint32Array.from(quads.flatMap(([a, b, c, d]) => [a, b, c, a, c, d])),
  }
}
