import { type CrownSize, type PlacedCrown, type Plan, sizeOf } from '@alveometer/core'
import type { NumberField } from '../placement/number-fields.js'
import { setCrownSize } from '../session/index.js'

const sizeField = (key: keyof CrownSize, name: string, help: string): NumberField => ({
  key,
  name,
  unit: 'mm',
  step: 0.1,
  help: `${help}; half to double the table's`,
  value: (_: Plan, placed: PlacedCrown | null) => (placed === null ? null : sizeOf(placed.crown)[key]),
  change: (plan, mm) => setCrownSize(plan, { [key]: mm }),
})

/** The sizes of a tabulated crown; those that are not typed are scaled along. */
export const sizeFields: readonly NumberField[] = [
  sizeField('lengthMm', 'length', 'From the cervical centre to the incisal edge or the highest cusp'),
  sizeField('widthMdMm', 'mesiodistal', 'Greatest width from mesial to distal'),
  sizeField('widthLlMm', 'orofacial', 'Greatest width from facial to the mouth'),
]
