import type { PlanSession } from '../session/plan-session.js'

/** Ctrl or Cmd + Z, with Shift or Ctrl + Y: undo and redo. A field being typed in has an undo of its own. */
export function undoKeys(event: KeyboardEvent, session: PlanSession): void {
  if (!(event.ctrlKey || event.metaKey) || event.altKey) return
  if (event.composedPath()[0] instanceof HTMLInputElement) return
  const key = event.key.toLowerCase()
  if (key === 'z' && !event.shiftKey) session.undo()
  else if ((key === 'z' && event.shiftKey) || key === 'y') session.redo()
  else return
  event.preventDefault()
}
