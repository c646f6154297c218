import { readdirSync, readFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { REPORT_CODES } from '../src/report/index.js'

const source = join(import.meta.dirname, '../src')
const pages = join(import.meta.dirname, '../../../docs/load-report')
const codes = Object.keys(REPORT_CODES).sort()

/** Local helpers of the source that make entries of this level. */
const HELPERS: Readonly<Record<string, string>> = { refuse: 'block', need: 'block' }

/** Codes that reach `block` in a variable, so that no call shows them. */
const IN_VARIABLES: readonly string[] = ['bad-number', 'decimal-comma']

/** Every code that the source puts into an entry, with its levels as the pages write them. */
function levelsInSource(): ReadonlyMap<string, string> {
  const found = new Map(IN_VARIABLES.map((code) => [code, new Set(['block'])]))
  const files = readdirSync(source, { recursive: true, encoding: 'utf8' }).filter((f) => f.endsWith('.ts'))
  for (const file of files) {
    const text = readFileSync(join(source, file), 'utf8')
    for (const [, maker = '', code = ''] of text.matchAll(
      /\b(block|warn|note|refuse|need)\(\s*'([a-z0-9-]+)'/g,
    ))
      found.set(code, (found.get(code) ?? new Set()).add(HELPERS[maker] ?? maker))
  }
  const order = ['block', 'warn', 'note']
  return new Map(
    [...found].map(([code, levels]) => [code, order.filter((level) => levels.has(level)).join(', ')]),
  )
}

const pageOf = (code: string): string[] => readFileSync(join(pages, `${code}.md`), 'utf8').split('\n')

// That no other code is used is the compiler's to see: entries take a `ReportCode`.
it('every code of the registry is used in the source', () => {
  expect([...levelsInSource().keys()].sort()).toEqual(codes)
})

it('every code has its page, and there is no page without a code', () => {
  const names = readdirSync(pages).filter((name) => name !== 'README.md')
  expect(names.sort()).toEqual(codes.map((code) => `${code}.md`).sort())
})

it('the index has one row for every code, with its level and a link to its page', () => {
  const index = readFileSync(join(pages, 'README.md'), 'utf8')
  const rows = [...index.matchAll(/^\| \[`([a-z0-9-]+)`\]\(([a-z0-9-]+)\.md\) \| ([a-z, ]+) \| \S.*\S \|$/gm)]
  expect(rows.map(([, code, link, level]) => [code, link, level]).sort()).toEqual(
    codes.map((code) => [code, code, levelsInSource().get(code)]),
  )
})

describe.each(codes)('the page of %s', (code) => {
  it('has the title of the registry, the level and the code', () => {
    const [title, blank, line] = pageOf(code)
    const levels = (levelsInSource().get(code) ?? '').split(', ')
    const described = levels.map((level) => `${level} \\([^)]+\\)`).join(' or ')
    expect([title, blank]).toEqual([`# ${REPORT_CODES[code as keyof typeof REPORT_CODES]}`, ''])
    expect(line).toMatch(new RegExp(`^Level: ${described}\\. Code: \`${code}\`\\.$`))
  })

  it('says what was found, why it matters, what was done and what to do, briefly', () => {
    const lines = pageOf(code)
    const sections = lines.filter((line) => line.startsWith('## ')).map((line) => line.slice(3))
    const needed = ['What was found', 'Why it matters', 'What the loader did', 'What to do']
    expect(sections.slice(0, 4)).toEqual(needed)
    expect([[], ['Limits']]).toContainEqual(sections.slice(4))
    for (const section of sections) expect(lines[lines.indexOf(`## ${section}`) + 2]).toMatch(/^\S.*\.$/)
    expect(lines.length).toBeLessThanOrEqual(26)
  })

  it('keeps to headings, paragraphs, lists and code, so that it can be shown as plain text', () => {
    for (const line of pageOf(code).slice(1)) {
      expect(line).toMatch(/^$|^## [A-Z]|^- \S|^[A-Za-z`0-9]/)
      const text = line.replaceAll(/`[^`]+`/g, '')
      expect(text).not.toMatch(/[`<>*_|]|\]\(|https?:/)
    }
  })
})
