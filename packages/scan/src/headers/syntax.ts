/** How the pixels of a transfer syntax become numbers. */
export type PixelCoding = 'native' | 'native-big-endian' | 'rle' | 'codec' | 'unknown'

export const IMPLICIT_LITTLE = '1.2.840.10008.1.2'
export const EXPLICIT_LITTLE = '1.2.840.10008.1.2.1'
export const DEFLATED = '1.2.840.10008.1.2.1.99'
export const EXPLICIT_BIG = '1.2.840.10008.1.2.2'

interface Syntax {
  readonly name: string
  readonly coding: PixelCoding
  readonly lossy?: true
  /** Decoded by another codec than the rest. */
  readonly highThroughput?: true
}

const codec = (name: string): Syntax => ({ name, coding: 'codec' })
const lossyCodec = (name: string): Syntax => ({ name, coding: 'codec', lossy: true })
const htj2k = (name: string): Syntax => ({ name, coding: 'codec', highThroughput: true })
const unknown = (name: string): Syntax => ({ name, coding: 'unknown' })

// DICOM PS3.6 table A-1. `codec` marks those whose decoder was compared with another reader value by value.
const SYNTAXES: Readonly<Record<string, Syntax>> = {
  [IMPLICIT_LITTLE]: { name: 'Implicit VR Little Endian', coding: 'native' },
  [EXPLICIT_LITTLE]: { name: 'Explicit VR Little Endian', coding: 'native' },
  [DEFLATED]: { name: 'Deflated Explicit VR Little Endian', coding: 'native' },
  [EXPLICIT_BIG]: { name: 'Explicit VR Big Endian', coding: 'native-big-endian' },
  '1.2.840.10008.1.2.5': { name: 'RLE Lossless', coding: 'rle' },
  '1.2.840.10008.1.2.4.50': lossyCodec('JPEG Baseline'),
  '1.2.840.10008.1.2.4.51': lossyCodec('JPEG Extended'),
  '1.2.840.10008.1.2.4.53': lossyCodec('JPEG Spectral Selection'),
  '1.2.840.10008.1.2.4.55': lossyCodec('JPEG Full Progression'),
  '1.2.840.10008.1.2.4.57': codec('JPEG Lossless'),
  '1.2.840.10008.1.2.4.70': codec('JPEG Lossless SV1'),
  '1.2.840.10008.1.2.4.80': codec('JPEG-LS Lossless'),
  '1.2.840.10008.1.2.4.81': lossyCodec('JPEG-LS Near-Lossless'),
  '1.2.840.10008.1.2.4.90': codec('JPEG 2000 Lossless'),
  // Either with or without loss: only Lossy Image Compression tells.
  '1.2.840.10008.1.2.4.91': codec('JPEG 2000'),
  '1.2.840.10008.1.2.4.201': htj2k('High-Throughput JPEG 2000 Lossless'),
  '1.2.840.10008.1.2.4.202': htj2k('High-Throughput JPEG 2000 RPCL Lossless'),
  // Either with or without loss, as above.
  '1.2.840.10008.1.2.4.203': htj2k('High-Throughput JPEG 2000'),
  '1.2.840.10008.1.2.4.110': unknown('JPEG XL Lossless'),
  '1.2.840.10008.1.2.4.111': unknown('JPEG XL Recompression'),
  '1.2.840.10008.1.2.4.112': unknown('JPEG XL'),
  '1.2.840.10008.1.2.8.1': unknown('Deflated Image Frame'),
}

const syntaxOf = (uid: string): Syntax => SYNTAXES[uid] ?? unknown('an encoding not known here')

export const pixelCoding = (uid: string): PixelCoding => syntaxOf(uid).coding
export const isHtj2k = (uid: string): boolean => syntaxOf(uid).highThroughput === true
export const isLossySyntax = (uid: string): boolean => syntaxOf(uid).lossy === true

/** Name and UID for a message. */
export const describeSyntax = (uid: string): string => `${syntaxOf(uid).name} (${uid || 'no UID'})`
