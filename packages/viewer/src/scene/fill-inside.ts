import type { Field } from './field.js'

const OPEN = 0
const BONE = 1
const NEAR = 2
const OUTSIDE = 3

/**
 * A field whose hollows are filled: what is below `iso` and cannot be reached from the border without squeezing
 * through a gap of two grid steps or less is lifted above it. The outer surface stays where it was.
 */
export function fillInside(field: Field, iso: number): Field {
  const [nx, ny, nz] = field.shape
  const values = field.values.slice()
  const state = new Uint8Array(values.length)
  for (let at = 0; at < values.length; at++) if ((values[at] as number) >= iso) state[at] = BONE
  const faces = [1, -1, nx, -nx, nx * ny, -nx * ny]
  const around = [-1, 0, 1].flatMap((k) =>
    [-1, 0, 1].flatMap((j) => [-1, 0, 1].map((i) => (k * ny + j) * nx + i)),
  )
  // The border layer is never bone; its neighbours beyond the array read as undefined and match nothing.
  const touches = (at: number, offsets: readonly number[], wanted: number): boolean => {
    for (let n = 0; n < offsets.length; n++) if (state[at + (offsets[n] as number)] === wanted) return true
    return false
  }
  for (let at = 0; at < state.length; at++)
    if (state[at] === OPEN && touches(at, faces, BONE)) state[at] = NEAR

  // The twelve edges of the border never touch bone by a face, so one corner reaches every side.
  const queue = [0]
  state[0] = OUTSIDE
  for (let at = queue.pop(); at !== undefined; at = queue.pop()) {
    const i = at % nx
    const j = Math.floor(at / nx) % ny
    const k = Math.floor(at / (nx * ny))
    for (const next of [
      i > 0 ? at - 1 : at,
      i < nx - 1 ? at + 1 : at,
      j > 0 ? at - nx : at,
      j < ny - 1 ? at + nx : at,
      k > 0 ? at - nx * ny : at,
      k < nz - 1 ? at + nx * ny : at,
    ])
      if (state[next] === OPEN) {
        state[next] = OUTSIDE
        queue.push(next)
      }
  }

  for (let k = 1; k < nz - 1; k++)
    for (let j = 1; j < ny - 1; j++)
      for (let i = 1; i < nx - 1; i++) {
        const at = (k * ny + j) * nx + i
        const inside = state[at] === OPEN || (state[at] === NEAR && !touches(at, around, OUTSIDE))
        if (inside) values[at] = 2 * iso - (values[at] as number) + 1
      }
  return { ...field, values }
}
