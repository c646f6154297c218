/**
 * One frame of 16 bit pixels as an RLE fragment (PS3.5 annex G): two byte planes, high byte first, each row packed
 * on its own. Only for making test files: it looks for runs of equal bytes, nothing more.
 */
export function encodeRle(pixels: Uint16Array | Int16Array, columns: number): Uint8Array {
  const planes = [8, 0].map((shift) => packPlane(pixels, columns, shift))
  const header = new DataView(new ArrayBuffer(64))
  header.setUint32(0, planes.length, true)
  let at = 64
  planes.forEach((plane, p) => {
    header.setUint32(4 * (p + 1), at, true)
    at += plane.length
  })
  const out = new Uint8Array(at)
  out.set(new Uint8Array(header.buffer))
  let to = 64
  for (const plane of planes) {
    out.set(plane, to)
    to += plane.length
  }
  return out
}

function packPlane(pixels: Uint16Array | Int16Array, columns: number, shift: number): number[] {
  const out: number[] = []
  for (let start = 0; start < pixels.length; start += columns) {
    const row = Array.from(pixels.subarray(start, start + columns), (v) => (v >> shift) & 0xff)
    packRow(row, out)
  }
  if (out.length % 2) out.push(0)
  return out
}

function packRow(row: readonly number[], out: number[]): void {
  let i = 0
  while (i < row.length) {
    let run = 1
    while (run < 128 && i + run < row.length && row[i + run] === row[i]) run++
    if (run > 1) {
      out.push(257 - run, row[i] as number)
      i += run
      continue
    }
    const start = i++
    while (i < row.length && i - start < 128 && row[i] !== row[i + 1]) i++
    out.push(i - start - 1, ...row.slice(start, i))
  }
}
