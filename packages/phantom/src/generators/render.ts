import { createVolume, type Mat4, type ScanIdentity, type Vec3, type Volume } from '@alveometer/core'
import type { Field } from './field.js'

/** Voxels to fill: any pose, any spacing. */
export interface Grid {
  readonly shape: Vec3
  /** Index (x fastest) to LPS mm, column by column as in the space module. */
  readonly indexToWorld: Mat4
}

export interface RenderOptions {
  /** 'int16' rounds to whole grey values, as scans are stored. Default 'int16'. */
  readonly type?: 'int16' | 'float32'
  /** Added to the field, x fastest; see `whiteNoise` and `correlatedNoise`. */
  readonly noise?: Float32Array
  readonly identity?: Partial<ScanIdentity>
  readonly noData?: number
}

/** The field at every voxel centre (no further averaging over the voxel), as a volume. */
export function renderField(field: Field, grid: Grid, options: RenderOptions = {}): Volume {
  const [nx, ny, nz] = grid.shape
  const m = grid.indexToWorld as readonly [number, number, number, number, ...number[]]
  const at = (n: number): number => m[n] as number
  const count = nx * ny * nz
  if (options.noise && options.noise.length !== count)
    throw new RangeError(`${count} voxels need as many noise values, got ${options.noise.length}`)
  const whole = (options.type ?? 'int16') === 'int16'
  const data = whole ? new Int16Array(count) : new Float32Array(count)
  let n = 0
  for (let k = 0; k < nz; k++)
    for (let j = 0; j < ny; j++) {
      const x = at(4) * j + at(8) * k + at(12)
      const y = at(5) * j + at(9) * k + at(13)
      const z = at(6) * j + at(10) * k + at(14)
      for (let i = 0; i < nx; i++, n++) {
        const value = field(x + at(0) * i, y + at(1) * i, z + at(2) * i) + (options.noise?.[n] ?? 0)
        data[n] = whole ? Math.round(value) : value
      }
    }
  return createVolume({
    data,
    shape: grid.shape,
    indexToWorld: grid.indexToWorld,
    ...(options.identity ? { identity: options.identity } : {}),
    ...(options.noData === undefined ? {} : { noData: options.noData }),
  })
}

/** An axis-aligned grid of cubic voxels centred on a point. */
export function cubicGrid(shape: Vec3, spacingMm: number, centre: Vec3): Grid {
  const origin = centre.map((c, a) => c - (spacingMm * ((shape[a] as number) - 1)) / 2)
  const indexToWorld = [spacingMm, 0, 0, 0, 0, spacingMm, 0, 0, 0, 0, spacingMm, 0, ...origin, 1]
  return { shape, indexToWorld }
}
