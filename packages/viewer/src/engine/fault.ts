import { isScanError } from '@alveometer/scan'
import type { EngineFault } from './protocol.js'

/** How engines word it when an array or WebAssembly memory cannot be had; there is no code for it. */
const outOfMemory =
  /allocation (failed|size)|out of memory|invalid (typed )?array (buffer )?length|could not allocate/i

/** What is thrown in the worker, as plain data: an error's own fields do not survive the way to the page. */
export function faultOf(error: unknown): EngineFault {
  const report: EngineFault['report'] = []
  if (isScanError(error)) {
    const { name, code, message, offer } = error
    return { name, code, message, report: error.report, ...(offer ? { offer } : {}) }
  }
  const message = error instanceof Error || error instanceof DOMException ? error.message : String(error)
  if (outOfMemory.test(message))
    return {
      name: 'MemoryError',
      code: 'memory',
      message:
        'The memory of this device is not enough for it. Close other pages and programs, or load the scan at half resolution or only a part of it.',
      report,
    }
  if (error instanceof RangeError) return { name: error.name, code: 'plan', message, report }
  if (error instanceof Error || error instanceof DOMException)
    return { name: error.name, code: error.name, message, report }
  return { name: 'Error', code: 'unknown', message, report }
}
