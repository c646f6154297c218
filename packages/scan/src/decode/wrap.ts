import type { Codestream } from './codestream.js'
import type { CompressedImage } from './decoder.js'

/** How the samples of an image are told to the codec. */
export interface StoredBits {
  readonly bitsAllocated: 8 | 16
  readonly bitsStored: number
  readonly highBit: number
  readonly signed: boolean
}

/**
 * The header's own bits where the codestream is of the same word length; otherwise those of the codestream. A codec
 * that is told 16 bits and finds 8 returns nonsense.
 */
export function storedBits({ layout }: CompressedImage, { precision, signed }: Codestream): StoredBits {
  const bitsAllocated = precision <= 8 ? 8 : 16
  if (bitsAllocated === layout.bitsAllocated) return { ...layout, bitsAllocated }
  return { bitsAllocated, bitsStored: precision, highBit: precision - 1, signed: signed ?? false }
}

/**
 * A small DICOM file around one compressed image: only what a codec needs. Rescale, photometric inversion, damaged
 * sequences and personal data of the original never reach the codec, so it can only return stored values.
 */
export function wrapImage(
  { layout, transferSyntaxUid, codestream }: CompressedImage,
  bits: StoredBits,
): Uint8Array {
  const meta = [
    element(0x0002, 0x0001, 'OB', Uint8Array.of(0, 1)),
    element(0x0002, 0x0002, 'UI', text(SECONDARY_CAPTURE, '\0')),
    element(0x0002, 0x0003, 'UI', text('2.25.1', '\0')),
    element(0x0002, 0x0010, 'UI', text(transferSyntaxUid, '\0')),
  ]
  const even = codestream.length + (codestream.length % 2)
  const parts = [
    new Uint8Array(128),
    text('DICM', ' '),
    element(0x0002, 0x0000, 'UL', littleEndian(lengthOf(meta), 4)),
    ...meta,
    element(0x0008, 0x0016, 'UI', text(SECONDARY_CAPTURE, '\0')),
    element(0x0008, 0x0018, 'UI', text('2.25.1', '\0')),
    element(0x0008, 0x0060, 'CS', text('OT', ' ')),
    unsigned(0x0028, 0x0002, 1),
    element(0x0028, 0x0004, 'CS', text('MONOCHROME2', ' ')),
    unsigned(0x0028, 0x0010, layout.rows),
    unsigned(0x0028, 0x0011, layout.columns),
    unsigned(0x0028, 0x0100, bits.bitsAllocated),
    unsigned(0x0028, 0x0101, bits.bitsStored),
    unsigned(0x0028, 0x0102, bits.highBit),
    unsigned(0x0028, 0x0103, bits.signed ? 1 : 0),
    tag(0x7fe0, 0x0010),
    text('OB', ' '),
    littleEndian(0, 2),
    littleEndian(0xffffffff, 4),
    item(0xe000, 0),
    item(0xe000, even),
    codestream,
    new Uint8Array(even - codestream.length),
    item(0xe0dd, 0),
  ]
  const file = new Uint8Array(lengthOf(parts))
  let at = 0
  for (const part of parts) {
    file.set(part, at)
    at += part.length
  }
  return file
}

const SECONDARY_CAPTURE = '1.2.840.10008.5.1.4.1.1.7'

const lengthOf = (parts: readonly Uint8Array[]) => parts.reduce((sum, p) => sum + p.length, 0)

function text(value: string, pad: string): Uint8Array {
  const padded = value.length % 2 === 0 ? value : value + pad
  return Uint8Array.from(padded, (c) => c.charCodeAt(0))
}

function littleEndian(value: number, bytes: 2 | 4): Uint8Array {
  const out = new Uint8Array(bytes)
  const view = new DataView(out.buffer)
  if (bytes === 2) view.setUint16(0, value, true)
  else view.setUint32(0, value, true)
  return out
}

const join = (...parts: Uint8Array[]) => Uint8Array.from(parts.flatMap((p) => [...p]))
const tag = (group: number, number: number) => join(littleEndian(group, 2), littleEndian(number, 2))
const item = (number: number, length: number) => join(tag(0xfffe, number), littleEndian(length, 4))
const unsigned = (group: number, number: number, value: number) =>
  element(group, number, 'US', littleEndian(value, 2))

function element(group: number, number: number, vr: string, value: Uint8Array): Uint8Array {
  const size =
    vr === 'OB' ? join(littleEndian(0, 2), littleEndian(value.length, 4)) : littleEndian(value.length, 2)
  return join(tag(group, number), text(vr, ' '), size, value)
}
