import type { Volume } from '@alveometer/core'
import { zipSync } from 'fflate'
import { ctSlice } from './ct-slice.js'
import type { Dataset } from './dataset.js'
import { type FileOptions, writeDicom } from './file.js'
import { pixelElements } from './pixel-data.js'
import { type SeriesNames, seriesNames } from './series-elements.js'
import { type Storage, signedStorage, storedPixels } from './storage.js'

/** A file in memory. */
export interface NamedBytes {
  readonly name: string
  readonly bytes: Uint8Array
}

export interface SeriesOptions extends Partial<SeriesNames>, FileOptions {
  /** Default: signed 16 bit, intercept 0, padding -2000. */
  readonly storage?: Storage
  /**
   * Elements to add, change or (`undefined`) leave out, for all slices or slice by slice. `slice` holds the elements
   * about to be written, so a fault can be made from the right value.
   */
  readonly overrides?: Dataset | ((k: number, slice: Dataset) => Dataset)
  /** Slices to write, in file order; default all, from k = 0. */
  readonly slices?: readonly number[]
  /** File name of the n-th file; default IM0001.dcm ... */
  readonly fileName?: (k: number, n: number) => string
}

/**
 * A volume as a CT series, one file per slice, in memory. Geometry, grey values and no-data come back exactly (grey is
 * rounded to whole numbers). UIDs follow from the seed; the volume's own identity wins where it is set.
 */
export function writeSeries(volume: Volume, options: SeriesOptions = {}): NamedBytes[] {
  const storage = options.storage ?? signedStorage
  const names = seriesNames(volume, options)
  const slices = options.slices ?? Array.from({ length: volume.shape[2] }, (_, k) => k)
  return slices.map((k, n) => {
    const pixels = storedPixels(volume, k, storage)
    const slice: Dataset = {
      ...ctSlice(volume, k, storage, names),
      ...pixelElements([pixels], volume.shape[0], options.syntax ?? 'explicitLittle', {
        offsetTable: 'empty',
      }),
    }
    const changes = typeof options.overrides === 'function' ? options.overrides(k, slice) : options.overrides
    const name = options.fileName?.(k, n) ?? `IM${String(n + 1).padStart(4, '0')}.dcm`
    return { name, bytes: writeDicom({ ...slice, ...changes }, options) }
  })
}

/** The files in one zip. Noise hardly packs, so the fastest level is the default. */
export function zipSeries(
  files: readonly NamedBytes[],
  options: { level?: 0 | 1 | 6 | 9; folder?: string } = {},
): Uint8Array {
  const folder = options.folder ? `${options.folder}/` : ''
  const entries = Object.fromEntries(files.map((file) => [folder + file.name, file.bytes]))
  // A fixed date keeps the archive the same on every run; zip dates start in 1980.
  return zipSync(entries, { level: options.level ?? 1, mtime: new Date(2024, 0, 1, 12) })
}
