/** A Markdown table; nothing where it has no rows. */
export function table(head: readonly string[], rows: readonly (readonly string[])[]): string[] {
  if (rows.length === 0) return []
  const line = (cells: readonly string[]) => `| ${cells.join(' | ')} |`
  return [line(head), `|${head.map((_, n) => (n === 0 ? '---' : '--:')).join('|')}|`, ...rows.map(line), '']
}

/** A section with its heading; nothing where there is nothing to show. */
export const section = (heading: string, text: readonly string[], lines: readonly string[]): string[] =>
  lines.length === 0 ? [] : [`## ${heading}`, '', ...text.flatMap((t) => [t, '']), ...lines]

/** A number to read; a dash where there is none. */
export const digits = (value: number, count = 3): string =>
  Number.isFinite(value) ? value.toFixed(count) : '-'

/** The same with its sign, for errors. */
export const signed = (value: number, count = 3): string =>
  !Number.isFinite(value)
    ? '-'
    : Number(value.toFixed(count)) < 0
      ? value.toFixed(count)
      : `+${Math.abs(value).toFixed(count)}`

export const percent = (share: number, count = 1): string =>
  Number.isFinite(share) ? (100 * share).toFixed(count) : '-'

/** "0.35 to 0.6"; the last bin ends a little beyond its name, to hold its end. */
export const binName = ([from, to]: readonly [number, number]): string =>
  `${from} to ${Math.floor(20 * to + 1e-9) / 20}`
