import type { Vec3 } from '@alveometer/core'
import type { DataSet } from 'dicom-parser'
import type { ScanInput } from '../inputs/index.js'
import { type AttributeReader, attributesOf } from './attributes.js'
import { decodeText } from './charset.js'
import { type Container, containerOf } from './container.js'
import type { PixelLayout, PixelPlace, SliceHeader } from './header.js'
import { PIXEL_DATA, parseHead } from './parse.js'
import { isLossySyntax } from './syntax.js'

/** What one input turned out to be. */
export type HeaderResult =
  | { readonly kind: 'image'; readonly header: SliceHeader }
  | { readonly kind: 'dicomdir' | 'no-image' | 'not-dicom' | 'empty' | 'unreadable' }

const HEAD_BYTES = 65536
const DICOMDIR_CLASS = '1.2.840.10008.1.3.10'

/** Reads everything in front of the pixels of one input; nothing of the pixels unless the file is deflated. */
export async function readHeader(input: ScanInput, signal?: AbortSignal): Promise<HeaderResult> {
  if (input.size === 0) return { kind: 'empty' }
  const head = await input.read(0, HEAD_BYTES, signal)
  const container = await containerOf(input, head, signal)
  if (!container) return { kind: 'not-dicom' }
  const data = await parseGrowing(container, container.source === input ? head : null, signal)
  if (!data) return { kind: 'unreadable' }
  if (data.string('x00020002') === DICOMDIR_CLASS || data.elements.x00041220) return { kind: 'dicomdir' }
  if (!data.elements[PIXEL_DATA]) return { kind: 'no-image' }
  return { kind: 'image', header: headerOf(input, container, data) }
}

/** Most headers fit the first 64 kB; private blocks may not. Ends at the first head that parses, or null. */
async function parseGrowing(
  { source, impliedSyntaxUid }: Container,
  head: Uint8Array | null,
  signal?: AbortSignal,
): Promise<DataSet | null> {
  for (let length = HEAD_BYTES; ; length *= 4) {
    const known = length === HEAD_BYTES ? head : null
    const bytes = known ?? (await source.read(0, Math.min(length, source.size), signal))
    const data = parseHead(bytes, impliedSyntaxUid)
    // A head that ends exactly between two elements parses without having met the pixels.
    if (data && (data.elements[PIXEL_DATA] || length >= source.size)) return data
    if (length >= source.size) return null
  }
}

function headerOf(input: ScanInput, container: Container, data: DataSet): SliceHeader {
  const read = attributesOf(data)
  const layout = layoutOf(read)
  const transferSyntaxUid = container.impliedSyntaxUid ?? read.text('x00020010')
  const orientation = read.decimals('x00200037', 'Image Orientation (Patient)', 6)
  const header: Omit<SliceHeader, 'badValues'> = {
    source: container.source,
    file: input.name,
    transferSyntaxUid,
    sopClassUid: read.text('x00080016'),
    sopInstanceUid: read.text('x00080018'),
    patient: `${read.text('x00100020')}|${read.text('x00100030')}`,
    studyUid: read.text('x0020000d'),
    seriesUid: read.text('x0020000e'),
    frameOfReferenceUid: read.text('x00200052'),
    modality: read.text('x00080060'),
    seriesDescription: decodeText(read.text('x0008103e'), read.text('x00080005')),
    imageType: read.text('x00080008').split('\\'),
    layout,
    pixels: pixelPlace(data),
    position: vector(read.decimals('x00200032', 'Image Position (Patient)', 3)),
    rowDirection: orientation && vector(orientation.slice(0, 3)),
    columnDirection: orientation && vector(orientation.slice(3, 6)),
    pixelSpacingMm: pair(read.decimals('x00280030', 'Pixel Spacing', 2)),
    rescaleSlope: read.decimals('x00281053', 'Rescale Slope', 1)?.[0] ?? null,
    rescaleIntercept: read.decimals('x00281052', 'Rescale Intercept', 1)?.[0] ?? null,
    rescaleType: read.text('x00281054') || null,
    hasModalityLut: read.has('x00283000'),
    padding: paddingOf(read, layout.signed),
    lossy: read.text('x00282110') === '01' || isLossySyntax(transferSyntaxUid),
  }
  return { ...header, badValues: read.badValues }
}

function layoutOf(read: AttributeReader): PixelLayout {
  const bitsAllocated = read.unsigned('x00280100') ?? 0
  const bitsStored = read.unsigned('x00280101') ?? bitsAllocated
  return {
    rows: read.unsigned('x00280010') ?? 0,
    columns: read.unsigned('x00280011') ?? 0,
    frames: Number(read.text('x00280008')) || 1,
    samplesPerPixel: read.unsigned('x00280002') ?? 1,
    bitsAllocated,
    bitsStored,
    highBit: read.unsigned('x00280102') ?? bitsStored - 1,
    signed: read.unsigned('x00280103') === 1,
    photometric: read.text('x00280004'),
  }
}

function pixelPlace(data: DataSet): PixelPlace | null {
  const element = data.elements[PIXEL_DATA]
  if (!element) return null
  const undefinedLength = element.hadUndefinedLength === true || element.length === 0xffffffff
  return { offset: element.dataOffset, length: undefinedLength ? null : element.length }
}

// Both attributes take their sign from Pixel Representation (PS3.3 C.7.5.1.1.2).
function paddingOf(read: AttributeReader, signed: boolean): readonly [number, number] | null {
  const at = (tag: string) => (signed ? read.signed(tag) : read.unsigned(tag))
  const value = at('x00280120')
  if (value === null) return null
  const limit = at('x00280121') ?? value
  return [Math.min(value, limit), Math.max(value, limit)]
}

const vector = (values: readonly number[] | null): Vec3 | null =>
  values && [values[0] as number, values[1] as number, values[2] as number]
const pair = (values: readonly number[] | null): readonly [number, number] | null =>
  values && [values[0] as number, values[1] as number]
