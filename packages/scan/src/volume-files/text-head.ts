import type { ScanInput } from '../inputs/index.js'

/** Longer text headers than this hold something else. */
const LARGEST_TEXT_HEADER = 4 * 2 ** 20

const FIRST_BYTES = 2 ** 16

/**
 * The first bytes of a file, one character a byte, so that places in the text are places in the file: 64 kB, or 4 MB
 * when `isComplete` says that the header is longer.
 */
export async function readTextHead(
  input: ScanInput,
  isComplete: (text: string) => boolean,
  signal?: AbortSignal,
): Promise<string> {
  const text = bytesAsText(await input.read(0, FIRST_BYTES, signal))
  if (isComplete(text) || input.size <= FIRST_BYTES) return text
  return bytesAsText(await input.read(0, LARGEST_TEXT_HEADER, signal))
}

/** One character for each byte. The "latin1" of TextDecoder is another table with other characters from 128 on. */
function bytesAsText(bytes: Uint8Array): string {
  let text = ''
  for (let at = 0; at < bytes.length; at += 4096)
    text += String.fromCharCode(...bytes.subarray(at, at + 4096))
  return text
}

/** File names in headers are UTF-8 as a rule; what is not valid UTF-8 stays as it is. */
export function asUtf8(text: string): string {
  const bytes = Uint8Array.from(text, (c) => c.charCodeAt(0))
  try {
    return new TextDecoder('utf-8', { fatal: true }).decode(bytes)
  } catch {
    return text
  }
}
