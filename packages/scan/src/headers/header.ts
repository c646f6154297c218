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

/** What the loader needs to know of one image before any pixel is touched. No names of persons. */
export interface SliceHeader {
  /** Where the pixels are read from; for a deflated file its unpacked bytes. */
  readonly source: ScanInput
  readonly file: string
  readonly transferSyntaxUid: string
  readonly sopClassUid: string
  readonly sopInstanceUid: string
  /** Only compared, never shown. */
  readonly patient: string
  readonly studyUid: string
  readonly seriesUid: string
  readonly frameOfReferenceUid: string
  readonly modality: string
  readonly seriesDescription: string
  readonly imageType: readonly string[]
  readonly layout: PixelLayout
  /** Null when the file holds no pixel data. */
  readonly pixels: PixelPlace | null
  /** Centre of the first voxel, LPS mm. */
  readonly position: Vec3 | null
  readonly rowDirection: Vec3 | null
  readonly columnDirection: Vec3 | null
  /** Distance between neighbouring rows and between neighbouring columns, mm, in the order of the attribute. */
  readonly pixelSpacingMm: readonly [rowSpacing: number, columnSpacing: number] | null
  readonly rescaleSlope: number | null
  readonly rescaleIntercept: number | null
  readonly rescaleType: string | null
  readonly hasModalityLut: boolean
  /** Pixel Padding Value and, for a range, its limit: stored values. */
  readonly padding: readonly [from: number, to: number] | null
  readonly lossy: boolean
  readonly badValues: readonly BadValue[]
}

export const isLocalizer = (header: SliceHeader): boolean => header.imageType.includes('LOCALIZER')
