import { limitsFor, type Plan } from '@alveometer/core'
import type { NumberField } from '../placement/number-fields.js'
import { type ChannelLimit, channelLimit, channelRanges, setChannelLimit } from '../session/index.js'

const limitField = (
  code: ChannelLimit,
  told: Pick<NumberField, 'name' | 'unit' | 'step'> & { readonly what: string },
): NumberField => ({
  ...told,
  key: code,
  help: `${told.what}, ${channelRanges[code].join(' to ')} ${told.unit}`,
  value: (plan) => channelLimit(plan, code),
  change: (plan, value) => setChannelLimit(plan, code, value),
})

/** The access channel and how far it may be bent. */
export const channelFields: readonly NumberField[] = [
  limitField('channelDiameterMm', {
    name: 'channel diameter',
    unit: 'mm',
    step: 0.1,
    what: 'Diameter of the access channel',
  }),
  limitField('bendPivotMm', {
    name: 'bend height',
    unit: 'mm',
    step: 0.1,
    what: 'Height of the bend of an angled channel above the platform, along the crown',
  }),
  limitField('correctionDeg', {
    name: 'greatest angle',
    unit: '°',
    step: 1,
    what: 'Greatest bend of an angled channel',
  }),
]

/** What each of the limits means and where its default comes from. */
export const channelSources = (plan: Plan): readonly string[] => {
  const limits = limitsFor(plan.site.tooth)
  return channelFields.flatMap(({ key, unit }) => {
    const limit = limits.find(({ code }) => code === key)
    return limit === undefined ? [] : [`${limit.meaning}: ${limit.value} ${unit}. ${limit.source}`]
  })
}
