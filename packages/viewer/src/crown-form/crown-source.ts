import { type Plan, toothDimensions } from '@alveometer/core'
import { unitNames } from './crown-choice.js'

/** Where a plan's crown comes from, in words. */
export function crownSource({ crown, site }: Plan): string {
  if (crown.kind === 'tabulated')
    return `Table, ${crown.tooth}: ${toothDimensions(crown.tooth).source.split(',')[0] ?? ''}`
  const { file, tooth = site.tooth, unitMm = 1 } = crown
  const mirrored = tooth === site.tooth ? '' : `, ${tooth} mirrored`
  return `${file}${mirrored}, in ${unitNames[unitMm] ?? `units of ${unitMm} mm`}`
}
