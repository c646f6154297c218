import { DecodeUTF8 } from 'fflate'
import { SaxesParser, type SaxesTagNS } from 'saxes'
import { MeshError } from './mesh-error.js'

/** An element's start. */
export interface XmlElement {
  readonly name: string
  readonly namespace: string
  /** The value of an attribute without a namespace, or with one. */
  attribute(name: string, namespace?: string): string | undefined
  /** The namespace that a prefix stands for here. */
  namespaceOf(prefix: string): string | undefined
  /** Where it stands, for errors. */
  place(): string
}

export interface XmlVisitor {
  open(element: XmlElement): void
  close(name: string, namespace: string): void
}

/** Model files nest some ten deep. What goes far beyond, or never closes a tag, is made to fill the memory. */
const DEEPEST = 100
const LONGEST_TAG = 2 ** 20
const PIECE = 2 ** 16

/**
 * Reads XML from front to end, UTF-8 or UTF-16, in pieces, and keeps nothing of it. A document type is refused, so
 * that there are no entities but the five of XML itself.
 * `part`: its name for errors.
 * @throws MeshError where it is not well-formed.
 */
export function readXml(bytes: Uint8Array, part: string, fileName: string, visitor: XmlVisitor): void {
  const parser = new SaxesParser({ xmlns: true })
  const refuse = (what: string) => new MeshError(fileName, `${part}, line ${parser.line}: ${what}`)
  let depth = 0
  parser.on('error', (error) => {
    throw error
  })
  parser.on('doctype', () => {
    throw refuse('a document type has no place in a model: export it again')
  })
  parser.on('opentag', (tag) => {
    if (++depth > DEEPEST) throw refuse('elements are nested too deep: export it again')
    visitor.open(elementOf(tag, () => `${part}, line ${parser.line}`))
  })
  parser.on('closetag', (tag) => {
    depth--
    visitor.close(tag.local, tag.uri)
  })
  let open = 0
  try {
    for (const text of pieces(bytes)) {
      const last = text.lastIndexOf('>')
      open = last < 0 ? open + text.length : text.length - last
      if (open > LONGEST_TAG) throw refuse('a tag or text has no end: export it again')
      parser.write(text)
    }
    parser.close()
  } catch (error) {
    if (error instanceof MeshError) throw error
    throw refuse(
      `not well-formed XML (${error instanceof Error ? error.message : error}): copy or export it again`,
    )
  }
}

const elementOf = (tag: SaxesTagNS, place: () => string): XmlElement => ({
  name: tag.local,
  namespace: tag.uri,
  attribute: (name, namespace) =>
    namespace === undefined
      ? tag.attributes[name]?.value
      : Object.values(tag.attributes).find(({ local, uri }) => local === name && uri === namespace)?.value,
  namespaceOf: (prefix) => tag.ns[prefix],
  place,
})

function* pieces(bytes: Uint8Array): Generator<string> {
  const utf16 = (bytes[0] === 0xff && bytes[1] === 0xfe) || (bytes[0] === 0xfe && bytes[1] === 0xff)
  if (utf16) {
    const data = new DataView(bytes.buffer, bytes.byteOffset, bytes.byteLength)
    const little = bytes[0] === 0xff
    for (let at = 2; at + 1 < bytes.length; at += PIECE) {
      const units: number[] = []
      for (let k = at; k < at + PIECE && k + 1 < bytes.length; k += 2) units.push(data.getUint16(k, little))
      yield String.fromCharCode(...units)
    }
    return
  }
  let text = ''
  const decoder = new DecodeUTF8((part) => {
    text = part
  })
  for (let at = 0; at < bytes.length; at += PIECE) {
    text = ''
    decoder.push(bytes.subarray(at, at + PIECE), at + PIECE >= bytes.length)
    yield text
  }
}
