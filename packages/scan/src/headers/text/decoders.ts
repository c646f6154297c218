const decoders = new Map<string, TextDecoder>()

/**
 * Bytes as text by the platform's own decoder, null where they do not belong to the encoding.
 * @param label of the Encoding Standard, so that Node and browsers read alike.
 */
export function decodeBytes(label: string, bytes: Iterable<number>): string | null {
  const decoder = decoders.get(label) ?? new TextDecoder(label, { fatal: true })
  decoders.set(label, decoder)
  try {
    return decoder.decode(Uint8Array.from(bytes))
  } catch {
    return null
  }
}
