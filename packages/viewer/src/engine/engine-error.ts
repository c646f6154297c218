import type { SizeOffer } from '@alveometer/scan'
import type { EngineFault, ReportLine } from './protocol.js'

/** What the engine could not do, with the loader's code and report where it comes from there. */
export class EngineError extends Error {
  readonly code: string
  readonly report: readonly ReportLine[]
  /** Of `too-large`: what of the scan would fit. */
  readonly offer: SizeOffer | null

  constructor(fault: EngineFault) {
    super(fault.message)
    this.name = fault.name
    this.code = fault.code
    this.report = fault.report
    this.offer = fault.offer ?? null
  }
}

/** Of the engine itself, whatever it was asked. */
export const engineError = (message: string): EngineError =>
  new EngineError({ name: 'EngineError', code: 'engine', message, report: [] })
