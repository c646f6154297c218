import type { DataSet, Element } from 'dicom-parser'
import dicomParser from 'dicom-parser'
import type { BadValue } from './header.js'

const SHARED = 'x52009229'
const PER_FRAME = 'x52009230'

/** The functional groups of a multi-frame object (PS3.3 C.7.6.16). */
export interface FunctionalGroups {
  /** Number of items that describe a frame each; null when the object has no such sequence. */
  readonly described: number | null
  /** The item of a macro, such as Pixel Measures, for one frame: of all frames together, or of its own. */
  macro(tag: string, frame: number): DataSet | null
}

/** Null when the object has neither shared nor per-frame groups. */
export function functionalGroups(data: DataSet): FunctionalGroups | null {
  const shared = itemsOf(data, SHARED)
  const perFrame = itemsOf(data, PER_FRAME)
  if (!shared && !perFrame) return null
  return {
    described: perFrame ? perFrame.length : null,
    macro: (tag, frame) => first(shared?.[0], tag) ?? first(perFrame?.[frame], tag),
  }
}

const first = (group: DataSet | undefined, tag: string): DataSet | null =>
  (group && itemsOf(group, tag)?.[0]) ?? null

/** The items of a sequence, null when there is none. Also where a writer marked the sequence as unknown (VR UN). */
export function itemsOf(data: DataSet, tag: string): DataSet[] | null {
  const element = data.elements[tag]
  if (!element) return null
  if (element.items === undefined && !readUnknown(data, element)) return null
  return (element.items ?? []).flatMap((item) => (item.dataSet ? [item.dataSet] : []))
}

/** A known attribute written as UN holds implicit VR little endian, whatever the rest of the file (PS3.5 6.2.2). */
function readUnknown(data: DataSet, element: Element): boolean {
  if (element.vr !== 'UN' || element.length === 0) return false
  try {
    const end = element.dataOffset + element.length
    const bytes = data.byteArray.subarray(0, end)
    const stream = new dicomParser.ByteStream(
      dicomParser.littleEndianByteArrayParser,
      bytes,
      element.dataOffset,
    )
    dicomParser.readSequenceItemsImplicit(stream, element)
    return true
  } catch {
    return false
  }
}

/** Attributes that the object gives twice, for all frames and for one, with different values: neither can be believed. */
export function contradictions(data: DataSet, tags: Readonly<Record<string, string>>): BadValue[] {
  const shared = itemsOf(data, SHARED)?.[0]
  const frames = itemsOf(data, PER_FRAME) ?? []
  return Object.entries(tags).flatMap(([attribute, tag]) => {
    const common = shared && bytesOf(first(shared, tag))
    if (!common) return []
    const other = frames.map((frame) => bytesOf(first(frame, tag))).find((own) => own && own !== common)
    return other ? [{ attribute, text: 'given twice, with different values' }] : []
  })
}

/** All values of an item as one text, to compare. */
const bytesOf = (item: DataSet | null): string | null =>
  item &&
  Object.keys(item.elements)
    .sort()
    .map((tag) => `${tag}=${item.string(tag) ?? ''}`)
    .join('|')
