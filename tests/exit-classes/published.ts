/** Numbers of sites. */
export interface PublishedClasses {
  readonly palatal: number
  readonly incisal: number
  readonly facial: number
  readonly all: number
  /** Exits just where they were wanted, 1.5 mm palatal of the edge, with a straight channel. */
  readonly aimed: number
}

/** 144 central incisors, fixtures in the palatal part of the socket. Gonzalez-Martin and Veltri 2021 (IJPRD). */
export const PALATAL_SOCKET: PublishedClasses = { palatal: 60, incisal: 40, facial: 44, all: 144, aimed: 35 }

/**
 * 200 upper front sites planned to the tooth's crown and root (J Prosthet Dent, PMID 33610330): 48 straight channels,
 * 152 angled ones, of these 109 with 5 degrees, 41 with 10, 2 with 15; laterals needed them most.
 */
export const CROWN_AND_ROOT = { all: 200, straight: 48, over0: 152, over5: 43, over10: 2, over15: 0 } as const

/**
 * 548 upper front teeth with room for an immediate fixture (Radomsutthisarn 2024, PLoS One 19:e0308158): straight
 * channel 19, a screw with or without an angled channel 468, cement 80.
 */
export const IMMEDIATE = { all: 548, straight: 19, screw: 468, cement: 80 } as const
