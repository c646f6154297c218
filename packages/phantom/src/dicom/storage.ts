import type { Volume } from '@alveometer/core'
import type { Dataset } from './dataset.js'

/** How grey values become stored integers: stored = grey - intercept. */
export interface Storage {
  readonly signed: boolean
  readonly bitsStored: number
  readonly intercept: number
  /** Stored where the volume holds no data. */
  readonly padding: number
}

/** Signed 16 bit, slope 1, intercept 0: grey values as they are. -2000 lies below any value a scan of air gives. */
export const signedStorage: Storage = { signed: true, bitsStored: 16, intercept: 0, padding: -2000 }

/** The Image Pixel module (PS3.3 C.7.6.3), without the pixels. */
export const pixelLayout = (volume: Volume, storage: Storage): Dataset => ({
  SamplesPerPixel: 1,
  PhotometricInterpretation: 'MONOCHROME2',
  Rows: volume.shape[1],
  Columns: volume.shape[0],
  BitsAllocated: 16,
  BitsStored: storage.bitsStored,
  HighBit: storage.bitsStored - 1,
  PixelRepresentation: storage.signed ? 1 : 0,
  PixelPaddingValue: volume.noData === undefined ? undefined : storage.padding,
})

/**
 * The stored integers of slice k, as 16 bit words in row order.
 * A measured voxel that would fall on the padding value is moved one up: it must not be lost.
 * @throws RangeError when a grey value does not fit the storage.
 */
export function storedPixels(volume: Volume, k: number, storage: Storage): Int16Array | Uint16Array {
  const [nx, ny] = volume.shape
  const [sx, sy, sz] = volume.stride
  const low = storage.signed ? -(2 ** (storage.bitsStored - 1)) : 0
  const high = low + 2 ** storage.bitsStored - 1
  const pixels = storage.signed ? new Int16Array(nx * ny) : new Uint16Array(nx * ny)
  const padded = volume.noData !== undefined
  for (let j = 0; j < ny; j++)
    for (let i = 0; i < nx; i++) {
      const grey = volume.data[volume.offset + i * sx + j * sy + k * sz] as number
      let stored = Math.round(grey - storage.intercept)
      if (padded && grey === volume.noData) stored = storage.padding
      else if (padded && stored === storage.padding) stored++
      if (!(stored >= low && stored <= high))
        throw new RangeError(`grey value ${grey} at ${i}, ${j}, ${k} does not fit ${storage.bitsStored} bits`)
      pixels[j * nx + i] = stored
    }
  return pixels
}
