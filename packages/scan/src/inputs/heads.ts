/** As many bytes as a header usually has; what is asked for beyond is read from the file itself. */
export const HEAD_BYTES = 16384
/** So many files are read in one go: in a browser a read takes about a millisecond, however short it is. */
const GROUP = 64
/** So many groups, of a megabyte at most, are kept for the next pass. */
const KEPT = 16

/** The first bytes of one of the files; null where they could not be read together with its neighbours. */
export type HeadReader = (n: number) => Promise<Uint8Array | null>

/** Reads the heads of many files a group at a time, and the next group ahead. */
export function headReader(files: readonly File[]): HeadReader {
  const groups = new Map<number, Promise<Uint8Array[] | null>>()
  const groupAt = (first: number): Promise<Uint8Array[] | null> => {
    const kept = groups.get(first)
    if (kept) return kept
    const group = readGroup(files.slice(first, first + GROUP))
    groups.set(first, group)
    const [oldest] = groups.keys()
    if (groups.size > KEPT && oldest !== undefined) groups.delete(oldest)
    return group
  }
  return async (n) => {
    const first = n - (n % GROUP)
    const group = groupAt(first)
    if (first + GROUP < files.length) void groupAt(first + GROUP)
    return (await group)?.[n - first] ?? null
  }
}

async function readGroup(files: readonly File[]): Promise<Uint8Array[] | null> {
  try {
    const together = await new Blob(files.map((file) => file.slice(0, HEAD_BYTES))).arrayBuffer()
    let at = 0
    return files.map((file) => {
      const start = at
      at += Math.min(HEAD_BYTES, file.size)
      return new Uint8Array(together, start, at - start)
    })
  } catch {
    // One file that cannot be read spoils the group; read by itself it will be named.
    return null
  }
}
