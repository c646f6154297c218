// tables[k][n]: the check sum of byte n followed by k bytes of zero, so that eight bytes are looked up at once.
const tables = Array.from({ length: 8 }, () => new Uint32Array(256))
const [t0, t1, t2, t3, t4, t5, t6, t7] = tables as [T, T, T, T, T, T, T, T]
type T = Uint32Array
for (let n = 0; n < 256; n++) {
  let c = n
  for (let bit = 0; bit < 8; bit++) c = c & 1 ? (c >>> 1) ^ 0xedb88320 : c >>> 1
  t0[n] = c
}
for (let n = 0; n < 256; n++) {
  let c = t0[n] as number
  for (const table of tables.slice(1)) {
    c = (t0[c & 0xff] as number) ^ (c >>> 8)
    table[n] = c
  }
}

/** The check sum of zip entries: CRC-32 of ISO 3309 with reflected polynomial EDB88320. */
export function crc32(bytes: Uint8Array): number {
  const at = (i: number) => bytes[i] as number
  const eights = bytes.length - (bytes.length % 8)
  let c = -1
  let i = 0
  for (; i < eights; i += 8) {
    c ^= at(i) | (at(i + 1) << 8) | (at(i + 2) << 16) | (at(i + 3) << 24)
    c =
      (t7[c & 0xff] as number) ^
      (t6[(c >>> 8) & 0xff] as number) ^
      (t5[(c >>> 16) & 0xff] as number) ^
      (t4[c >>> 24] as number) ^
      (t3[at(i + 4)] as number) ^
      (t2[at(i + 5)] as number) ^
      (t1[at(i + 6)] as number) ^
      (t0[at(i + 7)] as number)
  }
  for (; i < bytes.length; i++) c = (t0[(c ^ at(i)) & 0xff] as number) ^ (c >>> 8)
  return ~c >>> 0
}
