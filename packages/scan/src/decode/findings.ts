import { describeSyntax, type SliceHeader } from '../headers/index.js'
import { block, nameFiles, note, type ReportEntry } from '../report/index.js'

type Named = Pick<SliceHeader, 'file' | 'slice' | 'transferSyntaxUid'>

export const truncated = (file: string): ReportEntry =>
  block(
    'file-truncated',
    `${file} is cut short: part of its pixels is missing. Copy it again from the source.`,
    [file],
  )

export const framesMismatch = (file: string, stated: number, found: number): ReportEntry =>
  block(
    'frames-mismatch',
    `${file} should hold ${stated} frames, and ${found} are in its pixel data: it is incomplete or damaged. Copy or export it again.`,
    [file],
    { stated, found },
  )

export const undecodable = ({ file, slice, transferSyntaxUid }: Named): ReportEntry =>
  block(
    'decode-failed',
    `${slice}: its pixels (${describeSyntax(transferSyntaxUid)}) cannot be decoded; the file is probably damaged. Export the series again.`,
    [file],
  )

export const endsEarly = ({ file, slice, transferSyntaxUid }: Named): ReportEntry =>
  block(
    'decode-failed',
    `${slice}: its pixels (${describeSyntax(transferSyntaxUid)}) stop before their end mark, so part of the picture is missing. Copy or export the file again.`,
    [file],
  )

export const noAnswer = (images: readonly Named[]): ReportEntry => {
  const files = [...new Set(images.map((i) => i.file))]
  return block(
    'decode-failed',
    `${nameFiles(files)}: the decoder of ${describeSyntax(images[0]?.transferSyntaxUid ?? '')} gave no answer and was ended. Try again; if it stays so, export the series uncompressed.`,
    files,
  )
}

export const noDecoder = ({ file, slice, transferSyntaxUid }: Named): ReportEntry =>
  block(
    'no-decoder',
    `${slice} is compressed (${describeSyntax(transferSyntaxUid)}) and no decoder is at hand. Export the series again uncompressed.`,
    [file],
  )

export const decoderNotLoaded = ({ file, slice, transferSyntaxUid }: Named): ReportEntry =>
  block(
    'no-decoder',
    `${slice} is compressed (${describeSyntax(transferSyntaxUid)}) and the decoder for it could not be loaded. Reload the page; if it stays so, export the series uncompressed.`,
    [file],
  )

export const otherSize = ({ file, slice }: Named, inHeader: string, inPixels: string): ReportEntry =>
  block(
    'pixel-length',
    `${slice}: its compressed pixels are ${inPixels}, its header says ${inHeader}. The file is damaged; export it again.`,
    [file],
  )

export function signDisagrees(odd: readonly SliceHeader[], of: number): ReportEntry {
  const message = `In ${odd.length} of ${of} slices the compressed pixels claim another sign or fewer bits than the header; the header was followed.`
  return note('sign-disagrees', message, [...new Set(odd.map((h) => h.file))], { slices: odd.length })
}
