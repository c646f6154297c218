/** What the index of a disc lists (Basic Directory Information Object, PS3.3 annex F). */
export interface Dicomdir {
  /** In the order of their records; records marked as not in use are left out. */
  readonly files: readonly ReferencedFile[]
}

/** One file that a directory record refers to. */
export interface ReferencedFile {
  /** Referenced File ID, relative to the folder of the DICOMDIR: "A/B/C". */
  readonly path: string
  /** Directory Record Type: "IMAGE", "SR DOCUMENT", "PRIVATE" ... */
  readonly recordType: string
  /** Absent where the record belongs to no series, or the file does not tell to which. */
  readonly seriesUid?: string
  readonly sopInstanceUid?: string
}
