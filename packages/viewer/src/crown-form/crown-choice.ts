/** As the site's crown; mirrored, since it is of the same tooth on the other side; or for its size alone. */
export type CrownUse = 'this' | 'mirror' | 'size'

/** What a person chose for a crown's mesh file. */
export interface CrownChoice {
  readonly use: CrownUse
  /** Millimetres in a unit of the file; 1 where the file states its unit. */
  readonly unitMm: number
  /** Onto the site in place of the planned crown, or where the file's coordinates put it. */
  readonly where: 'site' | 'file'
  /** What the file's coordinates are, where they are kept. */
  readonly space: 'lps' | 'ras'
}

export const unitNames: Readonly<Record<number, string>> = {
  1: 'millimetres',
  25.4: 'inches',
  10: 'centimetres',
  304.8: 'feet',
  1000: 'metres',
  0.001: 'micrometres',
}
