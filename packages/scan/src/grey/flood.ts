/** The pixels that a walk over allowed pixels (1) reaches from the four corners, side by side only. */
export function floodFromCorners(allowed: Uint8Array, nx: number, ny: number): Uint8Array {
  const reached = new Uint8Array(nx * ny)
  const open: number[] = []
  const visit = (p: number) => {
    if (!allowed[p] || reached[p]) return
    reached[p] = 1
    open.push(p)
  }
  for (const corner of [0, nx - 1, nx * (ny - 1), nx * ny - 1]) visit(corner)
  for (let p = open.pop(); p !== undefined; p = open.pop()) {
    const i = p % nx
    if (i > 0) visit(p - 1)
    if (i < nx - 1) visit(p + 1)
    if (p >= nx) visit(p - nx)
    if (p < nx * (ny - 1)) visit(p + nx)
  }
  return reached
}
