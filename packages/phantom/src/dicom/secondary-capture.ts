import type { Dataset } from './dataset.js'

/** As `overrides` of `writeSeries`: each slice as a Secondary Capture Image (PS3.3 A.8.1) that keeps its geometry. */
export const secondaryCapture: Dataset = {
  SOPClassUID: '1.2.840.10008.5.1.4.1.1.7',
  ImageType: ['DERIVED', 'PRIMARY'],
  Modality: 'OT',
  ConversionType: 'WSD',
  PatientOrientation: '',
  Laterality: '',
  KVP: undefined,
}
