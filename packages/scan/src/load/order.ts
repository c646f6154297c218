import { type ConfirmedGeometry, column, length } from '@alveometer/core'
import type { StackGeometry } from '../geometry/index.js'
import { mm, note, type ReportEntry, warn } from '../report/index.js'

/** Of a sound stack: whose word was not taken for its order and step, and what a person had to confirm. */
export function describeOrder(geometry: StackGeometry, confirmed: ConfirmedGeometry | null): ReportEntry[] {
  return [...numbering(geometry), ...declaredStep(geometry), ...confirmation(confirmed)]
}

function numbering({ slices }: StackGeometry): ReportEntry[] {
  const frames = slices.every(({ header }) => header.layout.frames > 1)
  const numbers = slices.map(({ header }) => (frames ? header.frame : header.instanceNumber))
  if (numbers.every((n) => n === null)) return []
  const steps = numbers.slice(1).map((n, i) => Math.sign((n ?? Number.NaN) - (numbers[i] ?? Number.NaN)))
  if (steps.every((s) => s === 1) || steps.every((s) => s === -1)) return []
  const what = frames
    ? 'The frames are stored in another order'
    : 'The Instance Numbers do not follow the slices'
  return [note('order-by-position', `${what}; the slices were ordered by their positions.`)]
}

function declaredStep({ slices, indexToWorld, spacingMm }: StackGeometry): ReportEntry[] {
  const claimed = slices[0]?.header.claimedStepMm
  const stepMm = length(column(indexToWorld, 2))
  if (claimed?.attribute !== 'Spacing Between Slices') return []
  if (Math.abs(claimed.declaredMm - stepMm) <= Math.max(0.01 * spacingMm[2], 0.005)) return []
  const message = `Spacing Between Slices says ${claimed.declaredMm} mm; by their positions the slices are ${mm(stepMm)} apart, which was used.`
  return [note('spacing-tag-ignored', message, [], { declaredMm: claimed.declaredMm, usedMm: stepMm })]
}

/** That lengths or sides rest on a person's word. */
export function confirmation(confirmed: ConfirmedGeometry | null): ReportEntry[] {
  if (!confirmed) return []
  const { pixelSpacingMm, sliceStepMm, orientation } = confirmed
  const parts = [
    ...(pixelSpacingMm ? [`pixel spacing ${pixelSpacingMm.map(mm).join(' x ')}`] : []),
    ...(sliceStepMm === undefined ? [] : [`slice distance ${mm(sliceStepMm)}`]),
    ...(orientation ? ['the sides of the patient'] : []),
  ]
  const message = `The file does not give all of its geometry. Confirmed by a person: ${parts.join(', ')}. Every length and side rests on it.`
  const facts = {
    ...(pixelSpacingMm ? { pixelSpacing: pixelSpacingMm.map(mm).join(' x ') } : {}),
    ...(sliceStepMm === undefined ? {} : { sliceStepMm }),
    ...(orientation ? { sides: 'chosen' } : {}),
  }
  return [warn('geometry-confirmed', message, [], facts)]
}
