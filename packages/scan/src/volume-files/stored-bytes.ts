import { block, FindingError, isAbort, type ReportEntry, warn } from '../report/index.js'
import { truncated } from './findings.js'
import type { StoredPart } from './header.js'
import { readWindows, unpack } from './unpack.js'

/** Behind the voxels of a packed file so much is still unpacked, to find its check sum. */
const TAIL_BYTES = 2 ** 20

/**
 * The bytes of all parts in order, piece by piece, exactly as many as were promised.
 * @throws FindingError `file-truncated` or `decode-failed` naming the file
 */
export async function* readStored(
  parts: readonly StoredPart[],
  report: ReportEntry[],
  signal?: AbortSignal,
): AsyncGenerator<Uint8Array> {
  for (const part of parts) {
    try {
      yield* part.packing === 'none' ? readRaw(part, signal) : readPacked(part, report, signal)
    } catch (error) {
      if (error instanceof FindingError || isAbort(error)) throw error
      signal?.throwIfAborted()
      throw new FindingError(broken(part.input.name), error)
    }
  }
}

async function* readRaw({ input, start, bytes, skip }: StoredPart, signal?: AbortSignal) {
  let given = 0
  for await (const window of readWindows(input, start + skip, start + skip + bytes, signal)) {
    given += window.length
    yield window
  }
  if (given < bytes) throw shorter(input.name, bytes - given)
}

async function* readPacked(part: StoredPart, report: ReportEntry[], signal?: AbortSignal) {
  const { input, start, end, packing, skip, bytes } = part
  const last = skip + bytes
  let at = 0
  try {
    for await (const piece of unpack(input, start, end, packing === 'zlib' ? 'deflate' : 'gzip', signal)) {
      const voxels = piece.subarray(Math.max(0, skip - at), Math.max(0, last - at))
      at += piece.length
      if (voxels.length > 0) yield voxels
      if (at > last + TAIL_BYTES) break
    }
  } catch (error) {
    if (at >= last || isAbort(error)) throw error
    signal?.throwIfAborted()
    // Whether the stream was cut or hurt cannot always be told; either way voxels are missing.
    throw new FindingError(shorter(input.name, last - at).finding, error)
  }
  if (at < last) throw shorter(input.name, last - at)
  if (at > last) report.push(leftOver(input.name))
}

const shorter = (file: string, bytes: number) => truncated(file, `${bytes} bytes of its voxels are missing`)

const broken = (file: string): ReportEntry =>
  block(
    'decode-failed',
    `${file}: its voxels cannot be unpacked; the file is probably damaged. Copy it again from the source, or save it unpacked.`,
    [file],
  )

export const leftOver = (file: string): ReportEntry =>
  warn(
    'data-left-over',
    `${file} holds more bytes than its header promises. If the picture looks sheared or shifted, the header does not belong to these voxels.`,
    [file],
  )
