import { type CodeTable, HALVES, type Halves } from './code-tables.js'

/** An encoding without escapes that covers every script. */
export type WholeEncoding = 'utf-8' | 'gb18030'

/** What Specific Character Set (0008,0005) says of the bytes. */
export interface DeclaredSets {
  /** Null where the bytes are to be read by the sets of ISO 2022. */
  readonly whole: WholeEncoding | null
  /** What value 1 declares: how bytes are read at the start of a value and after every reset. */
  readonly initial: Halves
  /** The one declared set for bytes above 0x7f, null where there are none or several. */
  readonly onlyUpper: CodeTable | null
}

const DEFAULT_REPERTOIRE = 6

/**
 * @param characterSet all values of the attribute, `\` between them; empty where it is absent.
 * @returns null when one of them is not a defined term.
 */
export function declaredSets(characterSet: string): DeclaredSets | null {
  const terms = characterSet.split('\\').map((value) => meaningOf(value.trim()))
  if (terms.includes(null)) return null
  const halves = terms.filter((term) => typeof term === 'object' && term !== null)
  const uppers = new Set(halves.flatMap((set) => (set.g1 ? [set.g1] : [])))
  const [onlyUpper = null] = uppers
  return {
    whole: wholeOf(terms),
    initial: halves[0] ?? defaultHalves,
    onlyUpper: uppers.size === 1 ? onlyUpper : null,
  }
}

const defaultHalves = HALVES.get(DEFAULT_REPERTOIRE) as Halves

/** Such an encoding stands alone (PS3.3 C.12.1.1.2); behind an empty value it can only mean the same. */
function wholeOf(terms: readonly (WholeEncoding | Halves | null)[]): WholeEncoding | null {
  const at = terms[0] === defaultHalves ? 1 : 0
  const term = terms[at]
  return typeof term === 'string' ? term : null
}

/** "ISO_IR 100", "ISO 2022 IR 100", and the spellings with other separators that some writers use. */
const ISO_TERM = /^ISO[ _-]?(?:2022[ _-])?IR[ _-]?(\d+)$/

function meaningOf(term: string): WholeEncoding | Halves | null {
  if (term === '') return defaultHalves
  // GBK is the part of GB18030 with two bytes a character; platforms disagree on a few codes under the label "gbk".
  if (/^(ISO 2022 )?(GB18030|GBK)$/.test(term)) return 'gb18030'
  const number = Number(ISO_TERM.exec(term)?.[1])
  return number === 192 ? 'utf-8' : (HALVES.get(number) ?? null)
}
