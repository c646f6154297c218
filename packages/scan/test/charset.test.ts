import { readFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import { writeDicom } from '@alveometer/phantom'
import dicomParser from 'dicom-parser'
import { describe, expect, it } from 'vitest'
import { describeWithPython } from '../../../tests/outside-python.js'
import { describeWithData } from '../../../tests/shared-data.js'
import { decodeName, decodeText, displayName, encodedText, readText } from '../src/headers/charset.js'
import { inspectScan } from '../src/index.js'
import { chiralFiles, inputsOf } from './chiral.js'

const bytes = (...values: number[]) => ({ vr: 'LO', value: Uint8Array.from(values) })
const chars = (...values: number[]) => String.fromCharCode(...values)
const fromHex = (hex: string) => Buffer.from(hex, 'hex').toString('latin1')
const utf8 = (text: string) => Buffer.from(text).toString('latin1')
const asWritten = (text: string, set: string) => {
  const name = decodeName(text, set)
  return name && [name.alphabetic, name.ideographic, name.phonetic].join('=').replace(/=+$/, '')
}

// Bytes by hand from the code tables: "Zähne " in ISO 8859-1, "Зуб " in ISO 8859-5, "歯 " in JIS X 0208 with escapes.
it.each([
  ['ISO_IR 100', bytes(0x5a, 0xe4, 0x68, 0x6e, 0x65, 0x20), 'Zähne'],
  ['ISO_IR 144', bytes(0xb7, 0xe3, 0xd1, 0x20), 'Зуб'],
  ['ISO_IR 192', 'Zähne', 'Zähne'],
  ['\\ISO 2022 IR 87', bytes(0x1b, 0x24, 0x42, 0x3b, 0x75, 0x1b, 0x28, 0x42), '歯'],
  ['ISO_IR 192', bytes(0x5a, 0xe4, 0x68, 0x6e, 0x65, 0x20), ''],
  ['NO SUCH SET', bytes(0x5a, 0x61), ''],
  ['ISO_IR 100', 'Zähne', 'Zähne'],
])('series description in %s: %s', async (set, value, text) => {
  const overrides = {
    SpecificCharacterSet: set.includes('\\') ? ['', set.slice(1)] : set,
    SeriesDescription: value,
  }
  const { series } = await inspectScan(inputsOf(chiralFiles({ overrides })))
  expect(series[0]?.description).toBe(text)
})

describe('what is declared and what the bytes are', () => {
  it.each([
    ['ISO_IR 100', 'Buc^Jérôme'],
    ['', 'Buc^Jérôme'],
    ['ISO_IR 6', 'Γιάννης'],
    ['ISO_IR 148', 'Öztürk^Işıl'],
    ['\\ISO 2022 IR 87', '山田^太郎'],
    ['\\ISO 2022 IR 149', '김^희중'],
    ['ISO_IR 13', 'やまだ'],
    ['ISO_IR 144', 'Иванов^Иван'],
  ])('UTF-8 under a declaration of "%s" is read as UTF-8', (set, name) => {
    expect(asWritten(utf8(name), set)).toBe(name)
  })

  it('what a declared set can mean is never read as UTF-8', () => {
    // ISO 8859-2 "PÓŁTORAK" and ISO 8859-5 "УЖ" happen to be valid UTF-8 as well.
    expect(asWritten(chars(0x50, 0xd3, 0xa3, 0x54), 'ISO_IR 101')).toBe('PÓŁT')
    expect(asWritten(chars(0xc3, 0xb6), 'ISO_IR 144')).toBe('УЖ')
  })

  it.each([
    ['GBK', 'ISO_IR 100', 'cdf55ed0a1b6ab'],
    ['windows-1251', 'ISO_IR 100', 'c8e2e0edeee25ec8e2e0ed'],
    ['Shift_JIS', 'ISO_IR 100', '8e52936320'],
    ['windows-1252 with a curved quotation mark', 'ISO_IR 100', '4f9242726965'],
    ['Latin-1', 'ISO_IR 192', '4af972'],
    ['Latin-1', '', '4a81f472'],
    ['Latin-1', '\\ISO 2022 IR 87', '4ae972'],
    ['an unknown set', 'ISO_IR 999', '4a6f'],
    ['an unknown escape sequence', '\\ISO 2022 IR 87', '1b2440337e'],
    ['half a character', '\\ISO 2022 IR 87', '1b244233'],
    ['a bell', 'ISO_IR 100', '4a07'],
  ])('%s under "%s" is undecodable, not nonsense', (_, set, hex) => {
    expect(readText(fromHex(hex), set)).toBeNull()
    expect(decodeText(fromHex(hex), set)).toBe('')
    expect(decodeName(fromHex(hex), set)).toBeNull()
  })

  it('no bytes are no text, which is not the same', () => {
    expect(readText('', 'ISO_IR 100')).toBe('')
    expect(decodeName('  ', 'ISO_IR 100')).toEqual({ alphabetic: '', ideographic: '', phonetic: '' })
  })

  it.each([
    ['ISO 2022 IR 100', 'e9', 'é'],
    ['ISO-IR 100', 'e9', 'é'],
    ['ISO_IR_100', 'e9', 'é'],
    ['ISO 2022 IR 149', 'b1e8', '김'],
    ['\\ISO 2022 IR 149', 'b1e8', '김'],
    ['ISO 2022 IR 87', '1b24423b751b2842', '歯'],
    ['ISO_IR 13', 'd4cfc0de', 'ﾔﾏﾀﾞ'],
    ['ISO_IR 203', 'a4', '€'],
  ])('"%s": %s is %s', (set, hex, text) => {
    expect(decodeText(fromHex(hex), set)).toBe(text)
  })

  it('padding goes, and leading spaces stay where they count (PS3.5 6.2)', () => {
    expect(decodeText(' a b \0\0', '')).toBe('a b')
    expect(decodeText(' a b ', '', 'LT')).toBe(' a b')
  })
})

// PS3.5 6.1.2.5.3: value 1 is active again after a control character and after the delimiters of the VR.
describe('resets', () => {
  const both = 'ISO 2022 IR 100\\ISO 2022 IR 149'
  const korean = chars(0x1b, 0x24, 0x29, 0x43, 0xb1, 0xe8)
  const french = chars(0x4a, 0xe9, 0x72)

  it.each([
    ['PN', '^'],
    ['PN', '='],
    ['PN', '\\'],
    ['LO', '\\'],
    ['LO', '\t'],
    ['LT', '\r\n'],
    ['LT', '\f'],
  ] as const)('%s: at %j', (vr, delimiter) => {
    expect(readText(korean + delimiter + french, both, vr)).toBe(`김${delimiter}Jér`)
  })

  it.each([
    ['LO', '^'],
    ['LO', '='],
    ['LT', '\\'],
    ['LT', '^'],
    ['PN', ' '],
  ] as const)('%s: not at %j', (vr, character) => {
    const again = chars(0xc8, 0xf1)
    expect(readText(korean + character + again, both, vr)).toBe(`김${character}희`)
  })

  it('an escape sequence gives the same where nothing resets', () => {
    const latin1 = chars(0x1b, 0x2d, 0x41)
    expect(readText(`${korean} ${latin1}${french}`, both)).toBe('김 Jér')
  })
})

describe('a name on the screen', () => {
  it.each([
    ['Yamada^Tarou=山田^太郎=やまだ^たろう', 'Yamada, Tarou (山田 太郎)'],
    ['Adams^John Robert Quincy^^Rev.^B.A. M.Div.', 'Adams, Rev. John Robert Quincy, B.A. M.Div.'],
    ['=山田^太郎', '山田 太郎'],
    ['==やまだ^たろう', 'やまだ たろう'],
    ['Doe', 'Doe'],
    ['', ''],
  ])('%s', (written, shown) => {
    expect(displayName(decodeName(utf8(written), 'ISO_IR 192'))).toBe(shown)
  })

  it('says so when it cannot be decoded', () => {
    expect(displayName(decodeName(chars(0xff), 'ISO_IR 192'))).toBe('undecodable name')
  })

  it('an "à" at the end keeps its second byte, which looks like a blank', () => {
    const file = writeDicom({ SpecificCharacterSet: 'ISO_IR 192', PatientName: 'Pietà' })
    const data = dicomParser.parseDicom(file)
    expect(displayName(decodeName(encodedText(data, 'x00100010'), 'ISO_IR 192'))).toBe('Pietà')
    expect(encodedText(data, 'x00100020')).toBe('')
  })
})

describeWithData('files in 17 character sets', 'odd-dicom/charsets', (folder) => {
  /** The names as the description of the data gives them, decoded by pydicom. */
  const rows = readFileSync(join(dirname(folder), 'SOURCE.md'), 'utf8').matchAll(
    /^\| (chr\w+\.dcm) \| .* \| (.*) \|$/gm,
  )
  const expected = Array.from(rows, ([, file = '', name = '']) => [file, name] as const)

  it('are all described', () => expect(expected).toHaveLength(17))

  it.each(expected)('%s', (file, name) => {
    const data = dicomParser.parseDicom(readFileSync(join(folder, file)))
    const read = asWritten(encodedText(data, 'x00100010'), encodedText(data, 'x00080005'))
    expect(read).toBe(name === 'absent' ? '' : name)
  })

  describeWithPython('against pydicom', ['pydicom'], (run) => {
    it('every Person Name, those in sequences with a set of their own as well', () => {
      const names: [string, string, string][] = JSON.parse(run(everyName, [folder]))
      expect(names.length).toBeGreaterThan(20)
      for (const [set, hex, text] of names)
        expect(readText(fromHex(hex), set, 'PN')?.replace(/=+$/, '')).toBe(text)
    })
  })
})

/** [Specific Character Set, bytes, decoded] of all names in all files of a folder. */
const everyName = `
import sys, json, glob, pydicom
found = []
def walk(data, declared):
    declared = data.get('SpecificCharacterSet', declared)
    for e in data:
        if e.VR == 'SQ':
            for item in e.value: walk(item, declared)
        elif e.VR == 'PN' and e.VM > 0:
            names = [e.value] if e.VM == 1 else list(e.value)
            terms = [declared] if isinstance(declared, str) else list(declared)
            found.append(['\\\\'.join(terms), b'\\\\'.join(n.original_string for n in names).hex(), '\\\\'.join(str(n) for n in names)])
for f in sorted(glob.glob(sys.argv[1] + '/*.dcm')):
    data = pydicom.dcmread(f)
    data.decode()
    walk(data, '')
print(json.dumps(found))
`

describeWithPython('the code tables', ['encodings'], (run) => {
  // The Encoding Standard and Python give these codes characters of the same look but other code points.
  const twins: Readonly<Record<string, string>> = {
    ...{ 'ISO 2022 IR 87 2141': '～', 'ISO 2022 IR 87 2142': '∥', 'ISO 2022 IR 87 215d': '－' },
    ...{ 'ISO 2022 IR 87 2171': '￠', 'ISO 2022 IR 87 2172': '￡', 'ISO 2022 IR 87 224c': '￢' },
    'ISO 2022 IR 159 2237': '～',
    ...{ 'ISO 2022 IR 58 a1a4': '·', 'ISO 2022 IR 58 a1aa': '—' },
  }

  // Term, codec of Python, bytes it wants before each code, escape sequence (PS3.3 tables C.12-3 and C.12-4), bytes.
  it.each([
    ['ISO 2022 IR 100', 'iso8859_1', '', '1b2d41', 1],
    ['ISO 2022 IR 101', 'iso8859_2', '', '1b2d42', 1],
    ['ISO 2022 IR 109', 'iso8859_3', '', '1b2d43', 1],
    ['ISO 2022 IR 110', 'iso8859_4', '', '1b2d44', 1],
    ['ISO 2022 IR 144', 'iso8859_5', '', '1b2d4c', 1],
    ['ISO 2022 IR 127', 'iso8859_6', '', '1b2d47', 1],
    ['ISO 2022 IR 126', 'iso8859_7', '', '1b2d46', 1],
    ['ISO 2022 IR 138', 'iso8859_8', '', '1b2d48', 1],
    ['ISO 2022 IR 148', 'iso8859_9', '', '1b2d4d', 1],
    ['ISO 2022 IR 203', 'iso8859_15', '', '1b2d62', 1],
    ['ISO 2022 IR 166', 'iso8859_11', '', '1b2d54', 1],
    ['ISO 2022 IR 13', 'shift_jis', '', '1b2949', 1],
    ['ISO 2022 IR 149', 'euc_kr', '', '1b242943', 2],
    ['ISO 2022 IR 58', 'gb2312', '', '1b242941', 2],
    ['ISO 2022 IR 87', 'euc_jp', '', '1b2442', 2],
    ['ISO 2022 IR 159', 'euc_jp', '8f', '1b242844', 2],
  ] as const)('%s against %s of Python', (term, codec, lead, sequence, size) => {
    const lower = term.endsWith(' 87') || term.endsWith(' 159')
    const bit8 = lower ? '0' : '128'
    const table: Record<string, string> = JSON.parse(run(everyCode, [codec, lead, String(size), bit8]))
    // Added to KS X 1001 after its registration as ISO-IR 149; not every platform has them.
    if (term.endsWith(' 149')) for (const later of ['a2e6', 'a2e7']) delete table[later]
    for (const [hex, text] of Object.entries(table)) {
      // Value 1 is the default repertoire, so that only the escape sequence can tell.
      const read = readText(fromHex(`7c${sequence}${hex}1b28427c`), `\\${term}`)
      const code = `${term} ${hex}`
      expect(read, code).toBe(`|${twins[code] ?? text}|`)
    }
    expect(Object.keys(table).length).toBeGreaterThan(50)
  })

  it('names in ISO-2022-JP, half of whose characters look like delimiters', () => {
    // JIS X 0208: 本 4b5c, 宮 355c, 五 385e, 十 3d3d, 春 3d55. JIS X 0212: 丂 3021.
    const names = ['本宮^五十嵐', 'Motomiya^Haru=本宮^春=もとみや^はる', '丂^丂=春^本']
    const hex: string[] = JSON.parse(run(encoded, ['iso2022_jp_1', ...names]))
    names.forEach((name, i) => {
      expect(asWritten(fromHex(hex[i] as string), '\\ISO 2022 IR 87\\ISO 2022 IR 159')).toBe(name)
    })
  })

  it('names in GB18030, whose second bytes hold the delimiters', () => {
    // 乗 815c, 俓 825c, 乛 815e, 塡 895c.
    const names = ['Wang^XiaoDong=王^小东', '丂乗俓^乛誠=塡', '𠮷^㐀']
    const hex: string[] = JSON.parse(run(encoded, ['gb18030', ...names]))
    names.forEach((name, i) => {
      expect(asWritten(fromHex(hex[i] as string), 'GB18030')).toBe(name)
    })
    const gbk: string[] = JSON.parse(run(encoded, ['gbk', names[1] as string]))
    expect(asWritten(fromHex(gbk[0] as string), 'GBK')).toBe(names[1])
  })
})

/** Bytes -> character, for all codes that the codec knows. */
const everyCode = `
import sys, json
codec, lead, size, bit8 = sys.argv[1], bytes.fromhex(sys.argv[2]), int(sys.argv[3]), int(sys.argv[4])
table = {}
for first in range(0xa0, 0x100):
    for second in range(0xa1, 0xff) if size == 2 else [None]:
        code = bytes([first] if second is None else [first, second])
        try: text = (lead + code).decode(codec)
        except UnicodeDecodeError: continue
        if len(text) == 1: table[bytes(b & 0x7f | bit8 for b in code).hex()] = text
print(json.dumps(table))
`

/** The bytes of each name in an encoding of Python. */
const encoded = `
import sys, json
print(json.dumps([name.encode(sys.argv[1]).hex() for name in sys.argv[2:]]))
`

describeWithPython('several sets in one name, against pydicom', ['pydicom'], (run) => {
  it.each([
    ['ISO 2022 IR 100\\ISO 2022 IR 149', '4ae9725e1b242943b1e83d1b242943d1ce5e1b242943d1ce3d4be9'],
    ['ISO 2022 IR 6\\ISO 2022 IR 100\\ISO 2022 IR 144', '1b2d41e974e95e1b2d4cb7e3d1'],
    ['ISO 2022 IR 13\\ISO 2022 IR 159', 'd4cf3d1b24284430211b284a5ed4'],
  ])('%s: %s', (set, hex) => {
    expect(asWritten(fromHex(hex), set)).toBe(run(nameOf, [set, hex]))
  })
})

const nameOf = `
import sys
from pydicom.charset import convert_encodings
from pydicom.valuerep import PersonName
terms = sys.argv[1].split(chr(92))
print(PersonName(bytes.fromhex(sys.argv[2]), convert_encodings(terms)).decode(), end='')
`
