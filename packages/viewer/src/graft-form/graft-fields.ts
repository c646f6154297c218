import type { DeficitGraft, FreeGraft, Plan } from '@alveometer/core'
import type { NumberField } from '../placement/number-fields.js'
import { graftRanges, setDeficitGraft, setFreeGraft, setGraftLoss } from '../session/index.js'

type Told = Pick<NumberField, 'name' | 'help'>
type DeficitSize = 'facialMm' | 'otherMm' | 'fromDepthMm'
type FreeSize = 'thicknessMm' | 'heightMm' | 'widthMm'

const range = (key: keyof typeof graftRanges, unit: string): string => {
  const [low, high] = graftRanges[key]
  return `${low} to ${high} ${unit}`
}

const deficitOf = ({ graft }: Plan): DeficitGraft | null => (graft?.kind === 'deficit' ? graft : null)
const freeOf = ({ graft }: Plan): FreeGraft | null => (graft?.kind === 'free' ? graft : null)

const deficitField = (key: DeficitSize, { name, help }: Told): NumberField => ({
  key: `graft-${key}`,
  name,
  help: `${help}, ${range(key, 'mm')}`,
  ...{ unit: 'mm', step: 0.1 },
  value: (plan) => deficitOf(plan)?.[key] ?? null,
  change: (plan, mm) => setDeficitGraft(plan, { [key]: mm }),
})

const freeField = (key: FreeSize, { name, help }: Told): NumberField => ({
  key: `graft-${key}`,
  name,
  help: `${help}, ${range(key, 'mm')}`,
  ...{ unit: 'mm', step: 0.1 },
  value: (plan) => freeOf(plan)?.[key] ?? null,
  change: (plan, mm) => setFreeGraft(plan, { [key]: mm }),
})

/** How far bone is wanted round the fixture, and from where on. */
export const deficitFields: readonly NumberField[] = [
  deficitField('facialMm', { name: 'facial', help: 'Wanted thickness over the fixture, facial side' }),
  deficitField('otherMm', { name: 'other sides', help: 'Wanted thickness over the fixture, other sides' }),
  deficitField('fromDepthMm', {
    name: 'from',
    help: 'Where it begins, below the platform along the axis; negative above it',
  }),
]

/** The layer's sizes. */
export const freeFields: readonly NumberField[] = [
  freeField('thicknessMm', { name: 'thickness', help: 'Across the surface it lies on, towards facial' }),
  freeField('heightMm', { name: 'height', help: 'Along the vertical of the site' }),
  freeField('widthMm', { name: 'width', help: 'From mesial to distal' }),
]

/** What is expected to resorb, in per cent or in millimetres, whichever the plan counts in. */
export const lossField = (plan: Plan): NumberField =>
  plan.graft?.loss.kind === 'mm'
    ? {
        key: 'graft-loss',
        name: 'loss',
        help: `Thickness that is expected to resorb, ${range('lossMm', 'mm')}`,
        ...{ unit: 'mm', step: 0.1 },
        value: ({ graft }) => (graft?.loss.kind === 'mm' ? graft.loss.mm : null),
        change: (next, mm) => setGraftLoss(next, { kind: 'mm', mm }),
      }
    : {
        key: 'graft-loss',
        name: 'loss',
        help: 'Share of the thickness that is expected to resorb, 0 to 60 %',
        ...{ unit: '%', step: 1 },
        value: ({ graft }) => (graft?.loss.kind === 'share' ? 100 * graft.loss.share : null),
        change: (next, percent) => setGraftLoss(next, { kind: 'share', share: percent / 100 }),
      }

/** What is published about the loss, to choose a figure by. */
export const lossSources: readonly string[] = [
  'Volume until the fixture was placed: 12.48 ± 2.67 % guided bone regeneration, 7.20 ± 1.40 % ramus block; 28 sites. Gultekin 2016, BioMed Res Int.',
  'Thickness of blocks in the upper front after a year: 0.60 ± 0.78 mm (symphysis), 0.80 ± 0.56 mm (ramus); 32 patients. 2016, PMC4728796.',
  'Vertical allograft under a non-resorbable membrane: 19.8 % in six months. Implant Dent 2017 26:820.',
  'Overbuilt by 10 to 20 %, or 0.5 to 1 mm: common practice, from memory.',
]
