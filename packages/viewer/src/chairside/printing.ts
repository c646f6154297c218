/**
 * Holds back the print that a key asks for until `settled`: `beforeprint` cannot wait. A print asked for by the browser's
 * own menu goes ahead; what is on it says how far measuring had come.
 *
 * @returns whether it was held back.
 */
export function printWhen(event: KeyboardEvent, busy: boolean, settled: () => Promise<unknown>): boolean {
  const wanted = (event.ctrlKey || event.metaKey) && !event.altKey && !event.shiftKey
  if (!wanted || event.key.toLowerCase() !== 'p' || !busy) return false
  event.preventDefault()
  void settled().then(() => window.print())
  return true
}
