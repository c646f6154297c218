import { ctImage } from './ct-slice.js'
import type { Dataset } from './dataset.js'
import type { MacroName, RescaleType } from './frame-macros.js'
import type { MacroPlace } from './functional-groups.js'
import { secondaryCapture } from './secondary-capture.js'
import { type Storage, signedStorage } from './storage.js'
import { uidFrom } from './uid.js'

export type MultiFrameObject =
  | 'EnhancedCT'
  | 'LegacyConvertedEnhancedCT'
  | 'XRay3DCraniofacial'
  | 'XRay3DAngiographic'
  | 'MultiFrameGrayscaleWordSC'
  | 'CTWithFrames'

/** What an object class asks for beyond its series, pixels, geometry and grey scale. */
export interface ObjectClass {
  readonly storage: Storage
  readonly rescaleType: RescaleType
  readonly places: Readonly<Record<MacroName, MacroPlace>>
  /** At the top of the data set. */
  elements(seed: string): Dataset
  /** Functional groups of all frames together. */
  shared(seed: string): Dataset
  /** Functional groups of the frame that shows slice k. */
  perFrame(k: number, seed: string): Dataset
}

const imageType = ['DERIVED', 'PRIMARY', 'VOLUME', 'NONE']

/** PS3.3 table C.8-131, for the image and for each frame. */
const imageDescription = {
  PixelPresentation: 'MONOCHROME',
  VolumetricProperties: 'VOLUME',
  VolumeBasedCalculationTechnique: 'NONE',
}

/** What PS3.3 C.8.15.2 (Enhanced CT Image) and C.8.21.1 (X-Ray 3D Image) both ask for. */
const enhancedImage = (seed: string): Dataset => ({
  ImageType: imageType,
  ...imageDescription,
  ManufacturerModelName: 'Phantom',
  DeviceSerialNumber: '1',
  SoftwareVersions: '1',
  ContentQualification: 'RESEARCH',
  BurnedInAnnotation: 'NO',
  LossyImageCompression: '00',
  PresentationLUTShape: 'IDENTITY',
  AcquisitionContextSequence: [],
  ...stackDimensions(seed),
})

/** Frames are told apart by their place in one stack (PS3.3 C.7.6.17). */
function stackDimensions(seed: string): Dataset {
  const DimensionOrganizationUID = uidFrom(`${seed}/dimensions`)
  const index = (DimensionIndexPointer: number) => ({
    DimensionOrganizationUID,
    DimensionIndexPointer,
    FunctionalGroupPointer: FRAME_CONTENT,
  })
  return {
    DimensionOrganizationSequence: [{ DimensionOrganizationUID }],
    DimensionIndexSequence: [index(STACK_ID), index(IN_STACK_POSITION)],
  }
}
const FRAME_CONTENT = 0x00209111
const STACK_ID = 0x00209056
const IN_STACK_POSITION = 0x00209057

const stackPlace = (k: number): Dataset => ({
  FrameContentSequence: [{ StackID: '1', InStackPositionNumber: k + 1, DimensionIndexValues: [1, k + 1] }],
})

const frameType = { FrameType: imageType, ...imageDescription }

/** Jaw region, of context group 4028 (craniofacial anatomic regions). */
const jaw: Dataset = {
  FrameLaterality: 'U',
  AnatomicRegionSequence: [{ CodeValue: '661005', CodingSchemeDesignator: 'SCT', CodeMeaning: 'Jaw region' }],
}

const inGroups: ObjectClass['places'] = {
  pixelMeasures: 'shared',
  planePosition: 'per-frame',
  planeOrientation: 'shared',
  rescale: 'shared',
  frameVoiLut: 'shared',
}

/** PS3.3 A.38.1. Derived, so what is asked of original frames about their exposure may be left out. */
const enhancedCt: ObjectClass = {
  storage: signedStorage,
  // What PS3.3 C.8.15.3.10 asks of original frames, and dciodvfy of all.
  rescaleType: 'HU',
  places: inGroups,
  elements: (seed) => ({ ...enhancedImage(seed), SOPClassUID: '1.2.840.10008.5.1.4.1.1.2.1' }),
  shared: (seed) => ({
    CTImageFrameTypeSequence: [frameType],
    FrameAnatomySequence: [jaw],
    IrradiationEventIdentificationSequence: [{ IrradiationEventUID: uidFrom(`${seed}/irradiation`) }],
  }),
  perFrame: stackPlace,
}

/** PS3.3 A.70: converted from the CT images that `writeSeries` makes of the same volume and seed. */
const legacyConvertedEnhancedCt: ObjectClass = {
  ...enhancedCt,
  elements: (seed) => ({ ...enhancedImage(seed), SOPClassUID: '1.2.840.10008.5.1.4.1.1.2.2' }),
  shared: () => ({
    CTImageFrameTypeSequence: [frameType],
    FrameAnatomySequence: [jaw],
    UnassignedSharedConvertedAttributesSequence: [{ KVP: '' }],
  }),
  perFrame: (k, seed) => ({
    ...stackPlace(k),
    UnassignedPerFrameConvertedAttributesSequence: [{ InstanceNumber: k + 1 }],
    ConversionSourceAttributesSequence: [
      {
        ReferencedSOPClassUID: ctImage.SOPClassUID,
        ReferencedSOPInstanceUID: uidFrom(`${seed}/instance/${k}`),
      },
    ],
  }),
}

/** PS3.3 A.54. */
const xRay3DCraniofacial: ObjectClass = {
  storage: signedStorage,
  rescaleType: 'US',
  places: inGroups,
  elements: (seed) => ({ ...enhancedImage(seed), SOPClassUID: '1.2.840.10008.5.1.4.1.1.13.1.2' }),
  shared: () => ({ XRay3DFrameTypeSequence: [frameType], FrameAnatomySequence: [jaw] }),
  perFrame: stackPlace,
}

/** PS3.3 A.53. */
const xRay3DAngiographic: ObjectClass = {
  ...xRay3DCraniofacial,
  elements: (seed) => ({
    ...enhancedImage(seed),
    SOPClassUID: '1.2.840.10008.5.1.4.1.1.13.1.1',
    Modality: 'XA',
  }),
}

/** PS3.3 A.8.4: unsigned, with room for any noise in air; rescale and window are not among its functional groups. */
const multiFrameGrayscaleWordSc: ObjectClass = {
  storage: { signed: false, bitsStored: 16, intercept: -4096, padding: 0 },
  rescaleType: 'US',
  places: { ...inGroups, rescale: 'top-level', frameVoiLut: 'top-level' },
  elements: () => ({
    ...secondaryCapture,
    SOPClassUID: '1.2.840.10008.5.1.4.1.1.7.3',
    BurnedInAnnotation: 'NO',
    PresentationLUTShape: 'IDENTITY',
    FrameIncrementPointer: PER_FRAME_GROUPS,
  }),
  shared: () => ({}),
  perFrame: () => ({}),
}
const PER_FRAME_GROUPS = 0x52009230

/** A CT Image with frames, which it may not have, and the place of its first frame only. */
const ctWithFrames: ObjectClass = {
  storage: signedStorage,
  rescaleType: 'US',
  places: {
    pixelMeasures: 'top-level',
    planePosition: 'top-level',
    planeOrientation: 'top-level',
    rescale: 'top-level',
    frameVoiLut: 'top-level',
  },
  elements: () => ctImage,
  shared: () => ({}),
  perFrame: () => ({}),
}

export const objectClasses: Readonly<Record<MultiFrameObject, ObjectClass>> = {
  EnhancedCT: enhancedCt,
  LegacyConvertedEnhancedCT: legacyConvertedEnhancedCt,
  XRay3DCraniofacial: xRay3DCraniofacial,
  XRay3DAngiographic: xRay3DAngiographic,
  MultiFrameGrayscaleWordSC: multiFrameGrayscaleWordSc,
  CTWithFrames: ctWithFrames,
}
