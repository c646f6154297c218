import type { Frame } from '../grey/index.js'
import { describeSyntax, pixelCoding, type SliceHeader } from '../headers/index.js'
import { block, FindingError, isAbort } from '../report/index.js'
import type { Decoder } from './decoder.js'
import { readFragments } from './fragments.js'
import { readNative } from './native.js'
import { decodeRle } from './rle.js'
import { wrapImage } from './wrap.js'

/**
 * The pixels of one slice, whatever their encoding.
 * @throws FindingError naming the file when its pixels are missing or cannot be decoded.
 */
export async function readFrame(
  header: SliceHeader,
  decoder?: Decoder,
  signal?: AbortSignal,
): Promise<Frame> {
  const coding = pixelCoding(header.transferSyntaxUid)
  if (coding === 'native' || coding === 'native-big-endian') return readNative(header, signal)
  const { file, layout, transferSyntaxUid } = header
  const encoding = describeSyntax(transferSyntaxUid)
  if (coding === 'codec' && !decoder)
    throw new FindingError(
      block(
        'no-decoder',
        `${file} is compressed (${encoding}) and no decoder is at hand. Export again uncompressed.`,
        [file],
      ),
    )
  const fragment = await readFragments(header, signal)
  try {
    if (!decoder || coding === 'rle') return { pixels: decodeRle(fragment, layout), packed: true }
    const dicom = wrapImage(header, fragment)
    const pixels = await decoder.decode({ file, transferSyntaxUid, layout, dicom }, signal)
    if (pixels.length !== layout.rows * layout.columns)
      throw new RangeError(`${pixels.length} pixels for ${layout.columns} x ${layout.rows}`)
    return { pixels, packed: false }
  } catch (cause) {
    if (isAbort(cause)) throw cause
    const message = `${file}: its pixels (${encoding}) cannot be decoded; the file is probably damaged. Export the series again.`
    throw new FindingError(block('decode-failed', message, [file]), cause)
  }
}
