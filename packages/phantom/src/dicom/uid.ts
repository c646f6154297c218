/**
 * A UID under 2.25 (PS3.5 annex B.2) made from a text alone: the same text gives the same UID on every machine.
 * The 128 bits carry the UUID version 8 and variant marks. At most 44 characters.
 */
export function uidFrom(text: string): string {
  const bytes = new TextEncoder().encode(text)
  let value = 0n
  for (let word = 0; word < 4; word++) {
    let hash = 0x811c9dc5 ^ Math.imul(word + 1, 0x9e3779b1)
    for (const byte of bytes) hash = Math.imul(hash ^ byte, 0x01000193)
    hash ^= hash >>> 16
    hash = Math.imul(hash, 0x85ebca6b)
    hash ^= hash >>> 13
    hash = Math.imul(hash, 0xc2b2ae35)
    hash ^= hash >>> 16
    value = (value << 32n) | BigInt(hash >>> 0)
  }
  const version = (value & ~(0xfn << 76n)) | (8n << 76n)
  const marked = (version & ~(3n << 62n)) | (2n << 62n)
  return `2.25.${marked}`
}
