/** One page for each code, fetched when it is asked for. */
const pages = import.meta.glob<string>('../../../docs/load-report/*.md', { query: '?raw', import: 'default' })

/** What a code of the load report means, for the person at the screen; empty when there is no page of it. */
export async function explain(code: string): Promise<string> {
  const text = (await pages[`../../../docs/load-report/${code}.md`]?.()) ?? ''
  return text
    .split('\n')
    .filter((line) => !/^(Level: |- For developers: )/.test(line))
    .map((line) => line.replace(/^- At the screen: /, ''))
    .join('\n')
}
