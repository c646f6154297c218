import { block, nameFiles, type ReportCode, type ReportEntry, warn } from '../report/index.js'
import type { SliceHeader } from './header.js'
import { describeSyntax, pixelCoding } from './syntax.js'

/** Everything about the images of one series that can be judged before geometry: kind, bits, lengths, encoding. */
export function checkImages(headers: readonly SliceHeader[]): ReportEntry[] {
  const report: ReportEntry[] = []
  /** One entry per fault, however many files have it. */
  const refuse = (code: ReportCode, bad: readonly SliceHeader[], message: (names: string) => string) => {
    const files = filesOf(bad)
    if (files.length > 0) report.push(block(code, message(nameFiles(files)), files))
  }
  const odd = headers.filter((h) => !isDensityImage(h))
  refuse(
    'not-a-density-image',
    odd,
    (f) =>
      `${f}: a colour, segmentation, dose or document image, not a scan of densities. Choose the series with the slices.`,
  )
  if (odd.length > 0) return report
  const unknown = headers.filter((h) => pixelCoding(h.transferSyntaxUid) === 'unknown')
  refuse(
    'unsupported-encoding',
    unknown,
    (f) =>
      `${f}: ${describeSyntax(unknown[0]?.transferSyntaxUid ?? '')} cannot be decoded. Export again uncompressed or as JPEG Lossless.`,
  )
  if (report.length > 0) return report
  const native = headers.filter((h) => pixelCoding(h.transferSyntaxUid).startsWith('native'))
  const cut = native.filter(
    (h) => h.pixels?.length != null && h.pixels.offset + h.pixels.length > h.source.size,
  )
  refuse(
    'file-truncated',
    cut,
    (f) => `${f} is cut short: part of its pixels is missing. Copy it again from the source.`,
  )
  refuse(
    'pixel-length',
    native.filter((h) => !cut.includes(h) && !lengthFits(h)),
    (f) => `${f}: the pixel data do not match rows x columns x bytes. The file is damaged; export it again.`,
  )
  const modality = headers[0]?.modality ?? ''
  if (headers.length > 0 && modality !== 'CT') {
    const message = `The modality is ${modality || 'not given'}, not CT: the grey values may not follow density. Read densities with care.`
    report.push(warn('modality-not-ct', message, [], { modality }))
  }
  const lossy = headers.filter((h) => h.lossy)
  if (lossy.length > 0)
    report.push(
      warn(
        'lossy-compression',
        `${lossy.length} of ${headers.length} slices were compressed with loss: fine edges and grey values are altered. Ask for an export without loss.`,
        filesOf(lossy),
      ),
    )
  return report
}

/** Attributes that hold something else than numbers. A comma is named as such: it is the usual cause. */
export function checkValues(headers: readonly SliceHeader[]): ReportEntry[] {
  const report = new Map<string, ReportEntry>()
  // The slices of one file share one list.
  const lists = new Map(headers.map(({ badValues, file }) => [badValues, file]))
  for (const [badValues, file] of lists)
    for (const { attribute, text } of badValues) {
      const comma = /\d,\d/.test(text)
      const code = comma ? 'decimal-comma' : 'bad-number'
      const key = `${code} ${attribute}`
      const what = comma ? `is written with a decimal comma (${text})` : `is not what it should be (${text})`
      const remedy = comma ? 'Export the series again with decimal points.' : 'Export the series again.'
      const message = `${file}: ${attribute} ${what}, so it cannot be trusted. ${remedy}`
      const files = new Set([...(report.get(key)?.files ?? []), file])
      report.set(key, block(code, report.get(key)?.message ?? message, [...files]))
    }
  return [...report.values()]
}

const filesOf = (headers: readonly SliceHeader[]): string[] => [...new Set(headers.map((h) => h.file))]

// Segmentation, dose, surface and waveform objects share the modules of images but not their meaning.
const NOT_DENSITY = /^(SEG|RTDOSE|RTSTRUCT|RTPLAN|SR|PR|KO|DOC|ECG|SM|OPT|ES)$/

const isDensityImage = ({ layout, modality }: SliceHeader): boolean =>
  layout.samplesPerPixel === 1 &&
  (layout.bitsAllocated === 8 || layout.bitsAllocated === 16) &&
  layout.bitsStored >= 1 &&
  layout.bitsStored <= layout.bitsAllocated &&
  layout.highBit >= layout.bitsStored - 1 &&
  layout.highBit < layout.bitsAllocated &&
  layout.rows > 0 &&
  layout.columns > 0 &&
  (layout.photometric === '' || layout.photometric.startsWith('MONOCHROME')) &&
  !NOT_DENSITY.test(modality)

/** Native pixel data has exactly the bytes of its image, and one more where that makes the length even. */
function lengthFits({ layout, pixels }: SliceHeader): boolean {
  const bytes = layout.rows * layout.columns * layout.frames * (layout.bitsAllocated / 8)
  return pixels?.length === bytes || pixels?.length === bytes + (bytes % 2)
}
