import type { Vec3 } from '@alveometer/core'
import type { DataSet } from 'dicom-parser'
import type { ScanInput } from '../inputs/index.js'
import { type AttributeReader, attributesOf } from './attributes.js'
import { decodeText, encodedText } from './charset.js'
import type { Container } from './container.js'
import { contradictions, type FunctionalGroups, functionalGroups, itemsOf } from './functional-groups.js'
import type { BadValue, ClaimedStep, PixelLayout, PixelPlace, SliceHeader } from './header.js'
import { PIXEL_DATA } from './parse.js'
import { isLossySyntax } from './syntax.js'

/** Functional group macros (PS3.3 C.7.6.16.2 and C.8.15.3). */
const MACROS = {
  'Pixel Measures': 'x00289110',
  'Plane Position': 'x00209113',
  'Plane Orientation': 'x00209116',
  'Pixel Value Transformation': 'x00289145',
} as const
/** Where the type of a single frame is kept: CT, and X-Ray 3D. */
const FRAME_TYPES = ['x00189329', 'x00189504']

/** More frames than any scan has slices; a header that claims more is damaged. */
const MOST_FRAMES = 65535

/** The slices of one parsed header: one for each frame. */
export function slicesOf(input: ScanInput, container: Container, data: DataSet): SliceHeader[] {
  const badValues: BadValue[] = []
  const read = attributesOf(data, badValues)
  const transferSyntaxUid = container.impliedSyntaxUid ?? read.text('x00020010')
  const frames = frameCount(read, badValues)
  const layout = layoutOf(read, frames)
  const groups = functionalGroups(data)
  if (groups?.described != null && groups.described !== frames)
    badValues.push({
      attribute: 'Number of Frames',
      text: `${frames}, while ${groups.described} frames are described`,
    })
  badValues.push(...contradictions(data, MACROS))
  const whole = {
    source: container.source,
    file: input.name,
    transferSyntaxUid,
    sopClassUid: read.text('x00080016'),
    sopInstanceUid: read.text('x00080018'),
    patient: {
      name: encodedText(data, 'x00100010'),
      id: encodedText(data, 'x00100020'),
      birthDate: read.text('x00100030'),
      characterSet: read.text('x00080005'),
    },
    studyUid: read.text('x0020000d'),
    seriesUid: read.text('x0020000e'),
    frameOfReferenceUid: read.text('x00200052'),
    modality: read.text('x00080060'),
    seriesDescription: decodeText(encodedText(data, 'x0008103e'), read.text('x00080005')),
    instanceNumber: wholeNumber(read.text('x00200013')),
    concatenationUid: read.text('x00209161'),
    layout,
    pixels: pixelPlace(data),
    hasModalityLut: read.has('x00283000'),
    padding: paddingOf(read, layout.signed),
    lossy: read.text('x00282110') === '01' || isLossySyntax(transferSyntaxUid),
  }
  const described = Math.min(frames, groups?.described ?? frames)
  return Array.from({ length: frames }, (_, frame) => ({
    ...whole,
    slice: frames > 1 ? `${input.name}, frame ${frame + 1}` : input.name,
    frame,
    ...frameOf(data, read, frame < described ? groups : null, frame, frames, badValues),
    badValues,
  }))
}

/**
 * What may differ from frame to frame. Looked for in the groups of all frames, in those of the frame, and at the top
 * of the object, in this order; a position at the top is that of one image and says nothing of many.
 */
function frameOf(
  data: DataSet,
  top: AttributeReader,
  groups: FunctionalGroups | null,
  frame: number,
  frames: number,
  badValues: BadValue[],
) {
  const reader = (macro: string, tag: string) => {
    const item = groups?.macro(macro, frame)
    const own = item && attributesOf(item, badValues)
    return own?.has(tag) ? own : top
  }
  const decimals = (macro: string, tag: string, attribute: string, howMany: number) =>
    reader(macro, tag).decimals(tag, attribute, howMany)
  const orientation = decimals(MACROS['Plane Orientation'], 'x00200037', 'Image Orientation (Patient)', 6)
  const positionReader = reader(MACROS['Plane Position'], 'x00200032')
  const position = vector(positionReader.decimals('x00200032', 'Image Position (Patient)', 3))
  const ofFile = frames > 1 && positionReader === top
  const values = MACROS['Pixel Value Transformation']
  return {
    imageType: frameType(data, groups, frame) ?? top.text('x00080008').split('\\'),
    position: ofFile ? null : position,
    filePosition: ofFile ? position : null,
    rowDirection: orientation && vector(orientation.slice(0, 3)),
    columnDirection: orientation && vector(orientation.slice(3, 6)),
    pixelSpacingMm: pair(decimals(MACROS['Pixel Measures'], 'x00280030', 'Pixel Spacing', 2)),
    claimedStepMm: claimedStep(
      reader(MACROS['Pixel Measures'], 'x00180088').text('x00180088'),
      reader(MACROS['Pixel Measures'], 'x00180050').text('x00180050'),
    ),
    rescaleSlope: decimals(values, 'x00281053', 'Rescale Slope', 1)?.[0] ?? null,
    rescaleIntercept: decimals(values, 'x00281052', 'Rescale Intercept', 1)?.[0] ?? null,
    rescaleType: reader(values, 'x00281054').text('x00281054') || null,
  }
}

function frameType(data: DataSet, groups: FunctionalGroups | null, frame: number): string[] | null {
  for (const tag of FRAME_TYPES) {
    const item = groups?.macro(tag, frame) ?? itemsOf(data, tag)?.[0]
    const type = item?.string('x00089007')
    if (type) return type.split('\\').map((part) => part.trim())
  }
  return null
}

function frameCount(read: AttributeReader, badValues: BadValue[]): number {
  const text = read.text('x00280008')
  if (text === '') return 1
  const frames = wholeNumber(text)
  if (frames !== null && frames >= 1 && frames <= MOST_FRAMES) return frames
  badValues.push({ attribute: 'Number of Frames', text })
  return 1
}

function claimedStep(spacing: string, thickness: string): ClaimedStep | null {
  const claim = (text: string, attribute: ClaimedStep['attribute']): ClaimedStep => {
    const declaredMm = text === '' ? Number.NaN : Number(text)
    return { mm: Math.abs(declaredMm), declaredMm, attribute }
  }
  const claims = [claim(spacing, 'Spacing Between Slices'), claim(thickness, 'Slice Thickness')]
  return claims.find(({ mm }) => mm > 0 && mm < 50) ?? null
}

const wholeNumber = (text: string): number | null => (/^[+-]?\d{1,12}$/.test(text) ? Number(text) : null)

function layoutOf(read: AttributeReader, frames: number): PixelLayout {
  const bitsAllocated = read.unsigned('x00280100') ?? 0
  const bitsStored = read.unsigned('x00280101') ?? bitsAllocated
  return {
    rows: read.unsigned('x00280010') ?? 0,
    columns: read.unsigned('x00280011') ?? 0,
    frames,
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
