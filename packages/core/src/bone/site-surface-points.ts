/** How a point was found: by a fall of the grey, at a mask, or half way between two nodes by what they are. */
export const BY_GREY = 0
export const BY_MASK = 1
export const BY_KINDS = 2

/** Points where bone ends, in units of the grid, with outward normals (LPS). Grows as it is filled. */
export class SurfacePoints {
  count = 0
  xyz = new Float64Array(3 * 4096)
  normals = new Float64Array(3 * 4096)
  /** The highest grey behind a point, as a share of the cortical contrast. */
  peaks = new Float64Array(4096)
  kinds = new Uint8Array(4096)
  /** The node of bone that the point was found from, by its number; never less than that of the point before. */
  homes = new Int32Array(4096)

  add(
    home: number,
    kind: number,
    x: number,
    y: number,
    z: number,
    nx: number,
    ny: number,
    nz: number,
    peak: number,
  ): void {
    const n = this.count++
    if (n === this.kinds.length) this.#grow()
    this.homes[n] = home
    this.kinds[n] = kind
    this.peaks[n] = peak
    this.xyz[3 * n] = x
    this.xyz[3 * n + 1] = y
    this.xyz[3 * n + 2] = z
    this.normals[3 * n] = nx
    this.normals[3 * n + 1] = ny
    this.normals[3 * n + 2] = nz
  }

  #grow(): void {
    const size = 2 * this.kinds.length
    const larger = (values: Float64Array, length: number) => {
      const out = new Float64Array(length)
      out.set(values)
      return out
    }
    this.xyz = larger(this.xyz, 3 * size)
    this.normals = larger(this.normals, 3 * size)
    this.peaks = larger(this.peaks, size)
    const kinds = new Uint8Array(size)
    kinds.set(this.kinds)
    this.kinds = kinds
    const homes = new Int32Array(size)
    homes.set(this.homes)
    this.homes = homes
  }
}
