import type { Mat4, Vec3 } from '@alveometer/core'
import type { ScanInput } from '../inputs/index.js'
import type { ReportEntry } from '../report/index.js'
import type { ComponentType } from './component.js'

export type VolumeFileKind = 'nrrd' | 'nifti' | 'metaimage'

/** A volume in a file of its own, judged by its header. No voxel has been read. */
export interface VolumeFileHeader {
  readonly kind: VolumeFileKind
  /** The name of the file with the header, for messages. */
  readonly file: string
  /** Every file that belongs to it: the one with the header, then those with the voxels. */
  readonly parts: readonly ScanInput[]
  /** Voxels along each axis, the fastest first. */
  readonly shape: Vec3
  /** Distance of neighbouring voxel centres along each axis; null where the file does not say it. */
  readonly spacingMm: Vec3 | null
  /** Unit directions, LPS, in which the indices increase; null where the file does not say them. */
  readonly directions: Directions | null
  /** Centre of the first voxel, LPS mm; null where the file does not say it. */
  readonly originMm: Vec3 | null
  /** Index to LPS mm, voxel centres, right- or left-handed as the file has it; null while a question is open. */
  readonly indexToWorld: Mat4 | null
  /** What a person has to confirm before anything is measured. */
  readonly questions: readonly MissingGeometry[]
  readonly componentType: ComponentType
  /** Bytes that one voxel takes in the file. */
  readonly voxelBytes: number
  /** grey = slope x stored + intercept; identity where the file gives none. */
  readonly scale: GreyScale
  readonly report: readonly ReportEntry[]
  readonly stored: StoredVoxels
}

/** What a file may leave out of its geometry. */
export type MissingGeometry = 'pixel-spacing' | 'slice-step' | 'orientation'

export type Directions = readonly [Vec3, Vec3, Vec3]

export interface GreyScale {
  readonly slope: number
  readonly intercept: number
}

/** Where the voxels lie and how a small sound file is made of them. */
export interface StoredVoxels {
  /** Their bytes in order. */
  readonly parts: readonly StoredPart[]
  /** Written as text: can only be decoded as a whole. */
  readonly text: boolean
  /** Whether the clean header carries the geometry of the file, so that the decoder's idea of it can be compared. */
  readonly placed: boolean
  /** What the clean header calls the numbers: where it is another type than theirs, only their bits are meant. */
  readonly codedAs: ComponentType
  /** The header of a file of our own making for so many slices, in the same format; their bytes follow it. */
  readonly cleanHeader: (slices: number) => Uint8Array
}

/** A stretch of a file that gives exactly `bytes` bytes. */
export interface StoredPart {
  readonly input: ScanInput
  /** From this byte of the file up to but without `end`. */
  readonly start: number
  readonly end: number
  readonly packing: 'none' | 'gzip' | 'zlib'
  /** Unpacked bytes that come before the voxels. */
  readonly skip: number
  readonly bytes: number
}

/** What one format's reader finds out. The rest of the header follows from it. */
export interface FormatHeader {
  readonly shape: Vec3
  readonly given: GivenGeometry
  readonly componentType: ComponentType
  readonly scale: GreyScale
  readonly report: readonly ReportEntry[]
  readonly stored: StoredVoxels
}

/** The geometry as far as a file tells it, mm and LPS. */
export interface GivenGeometry {
  /** The steps from one voxel to the next along each axis. */
  readonly steps: Directions | null
  /** Only looked at where there are no steps. */
  readonly spacingMm: Vec3 | null
  /** Only looked at where there are no steps. */
  readonly directions: Directions | null
  readonly originMm: Vec3 | null
}
