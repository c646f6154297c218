// Defined terms of Specific Character Set (PS3.3 C.12.1.1.2) -> labels of the Encoding Standard.
const LABELS: Readonly<Record<string, string>> = {
  '': 'utf-8',
  'ISO_IR 6': 'utf-8',
  'ISO_IR 100': 'iso-8859-1',
  'ISO_IR 101': 'iso-8859-2',
  'ISO_IR 109': 'iso-8859-3',
  'ISO_IR 110': 'iso-8859-4',
  'ISO_IR 144': 'iso-8859-5',
  'ISO_IR 127': 'iso-8859-6',
  'ISO_IR 126': 'iso-8859-7',
  'ISO_IR 138': 'iso-8859-8',
  'ISO_IR 148': 'iso-8859-9',
  'ISO_IR 166': 'windows-874',
  'ISO_IR 13': 'shift_jis',
  'ISO_IR 192': 'utf-8',
  GB18030: 'gb18030',
  GBK: 'gbk',
  '\\ISO 2022 IR 87': 'iso-2022-jp',
}

/**
 * Text whose characters are the bytes of the file, decoded by the declared character set. Empty where the set is not
 * known here or the bytes do not belong to it: no description is better than a wrong one.
 */
export function decodeText(bytesAsText: string, characterSet: string): string {
  const label = LABELS[characterSet.trim()]
  if (label === undefined) return ''
  try {
    const bytes = Uint8Array.from(bytesAsText, (c) => c.charCodeAt(0))
    return new TextDecoder(label, { fatal: true }).decode(bytes)
  } catch {
    return ''
  }
}
