import { cross, dot, toWorld, type Volume } from '@alveometer/core'
import type { Dataset } from './dataset.js'
import { frameMacros, round, rowAndColumn } from './frame-macros.js'
import { date, type SeriesNames, seriesElements, time } from './series-elements.js'
import { pixelLayout, type Storage } from './storage.js'
import { uidFrom } from './uid.js'

/** What a CT Image (PS3.3 A.3) says beyond its series, pixels, geometry and grey scale. */
export const ctImage: Dataset = {
  SOPClassUID: '1.2.840.10008.5.1.4.1.1.2',
  ImageType: ['DERIVED', 'PRIMARY', 'AXIAL'],
  AcquisitionDate: date,
  AcquisitionTime: time,
  AcquisitionNumber: 1,
  DerivationDescription: 'Computed from closed-form surfaces',
  KVP: '',
  // Type 2C. One validator misses it when absent, however unpaired the body part; empty is allowed.
  Laterality: '',
}

/** The elements of one CT Image for slice k of a volume; index x becomes columns, y rows. */
export function ctSlice(volume: Volume, k: number, storage: Storage, names: SeriesNames): Dataset {
  const position = toWorld(volume.indexToWorld, [0, 0, k])
  const macros = Object.values(frameMacros(volume, k, storage))
  return {
    ...seriesElements(volume, names),
    ...ctImage,
    SOPInstanceUID: uidFrom(`${names.seed}/instance/${k}`),
    InstanceNumber: k + 1,
    SliceLocation: round(dot(position, cross(...rowAndColumn(volume)))),
    ...pixelLayout(volume, storage),
    ...Object.assign({}, ...macros),
  }
}
