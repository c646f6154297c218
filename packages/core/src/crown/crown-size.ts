/** Sizes typed or measured that replace those of the table, mm; what is absent is scaled along with them. */
export interface CrownSize {
  /** From the cervical centre to the edge or the highest cusp tip. */
  readonly lengthMm?: number
  /** Greatest mesiodistal width. */
  readonly widthMdMm?: number
  /** Greatest orofacial (labiolingual, buccolingual) width. */
  readonly widthLlMm?: number
}
