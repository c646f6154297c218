import type { Vec3 } from '@alveometer/core'
import type { ScanInput } from '../inputs/index.js'

/** How one image lies in its pixel data: DICOM PS3.3 C.7.6.3. */
export interface PixelLayout {
  readonly rows: number
  readonly columns: number
  readonly frames: number
  readonly samplesPerPixel: number
  readonly bitsAllocated: number
  readonly bitsStored: number
  readonly highBit: number
  readonly signed: boolean
  readonly photometric: string
}

/** Where the pixels are. `length` is null for encapsulated (compressed) pixels of undefined length. */
export interface PixelPlace {
  readonly offset: number
  readonly length: number | null
}

/** An attribute whose text is not the number it should be. */
export interface BadValue {
  readonly attribute: string
  readonly text: string
}

/** Who is on the scan, as the bytes of the file. Shown where a person chooses a scan; never kept, never written. */
export interface PatientBytes {
  readonly name: string
  readonly id: string
  readonly birthDate: string
  readonly characterSet: string
}

/**
 * What the loader needs to know of one slice before any pixel is touched: one image of a file, or one frame of a file
 * with many.
 */
export interface SliceHeader {
  /** Where the pixels are read from; for a deflated file its unpacked bytes. */
  readonly source: ScanInput
  readonly file: string
  /** For messages: the file, and the number of the frame where the file holds several. */
  readonly slice: string
  /** Which frame of its file it is, from 0; `layout.frames` says of how many. */
  readonly frame: number
  readonly transferSyntaxUid: string
  readonly sopClassUid: string
  readonly sopInstanceUid: string
  readonly patient: PatientBytes
  readonly studyUid: string
  readonly seriesUid: string
  readonly frameOfReferenceUid: string
  readonly modality: string
  readonly seriesDescription: string
  readonly imageType: readonly string[]
  readonly instanceNumber: number | null
  /** Equal for files that are pieces of one multi-frame object. */
  readonly concatenationUid: string
  readonly layout: PixelLayout
  /** The whole Pixel Data element of the file, all its frames. Null when the file holds none. */
  readonly pixels: PixelPlace | null
  /** Centre of the first voxel, LPS mm. */
  readonly position: Vec3 | null
  /** The one position of a file whose frames have none of their own. */
  readonly filePosition: Vec3 | null
  readonly rowDirection: Vec3 | null
  readonly columnDirection: Vec3 | null
  /** Distance between neighbouring rows and between neighbouring columns, mm, in the order of the attribute. */
  readonly pixelSpacingMm: readonly [rowSpacing: number, columnSpacing: number] | null
  /** Spacing Between Slices and Slice Thickness: never used as geometry, only offered to a person for confirmation. */
  readonly claimedStepMm: ClaimedStep | null
  readonly rescaleSlope: number | null
  readonly rescaleIntercept: number | null
  readonly rescaleType: string | null
  readonly hasModalityLut: boolean
  /** Pixel Padding Value and, for a range, its limit: stored values. */
  readonly padding: readonly [from: number, to: number] | null
  readonly lossy: boolean
  readonly badValues: readonly BadValue[]
}

/** What a file says of the distance of its slices where it does not say where they are. */
export interface ClaimedStep {
  /** Without its sign, which some files get wrong. */
  readonly mm: number
  readonly declaredMm: number
  readonly attribute: 'Spacing Between Slices' | 'Slice Thickness'
}

export const isLocalizer = (header: SliceHeader): boolean => header.imageType.includes('LOCALIZER')
