import { oralSide, type TiltChart, type TiltChartSpec } from '@alveometer/core'
import { deg, mm } from '../text/format.js'
import type { ChartPlace } from './chart-grid.js'

/** What the two ends of an axis are called: where its values are negative, and where they are positive. */
export interface AxisWords {
  readonly negative: string
  readonly positive: string
  readonly name: string
  readonly unit: 'deg' | 'mm'
}

export const columnWords = (tooth: string): AxisWords => ({
  negative: oralSide(tooth),
  positive: 'facial',
  name: 'tilt',
  unit: 'deg',
})

export function rowWords(kind: TiltChartSpec['kind'], tooth: string): AxisWords {
  switch (kind) {
    case 'tilt':
      return { negative: 'distal', positive: 'mesial', name: 'tilt', unit: 'deg' }
    case 'depth':
      return { negative: 'coronal', positive: 'apical', name: 'moved', unit: 'mm' }
    case 'shift':
      return { negative: oralSide(tooth), positive: 'facial', name: 'moved', unit: 'mm' }
  }
}

const signed = (words: AxisWords, value: number): string => {
  const size = Math.abs(value)
  const text = words.unit === 'deg' ? deg(size) : mm(size)
  const side = value < 0 ? words.negative : words.positive
  return Number(size.toFixed(words.unit === 'deg' ? 1 : 2)) === 0 ? text : `${text} ${side}`
}

/** "4.0° facial, 2.0° distal", "4.0° facial, moved 0.50 mm apical" */
export function placeWords({ tooth, spec }: Pick<TiltChart, 'tooth' | 'spec'>, place: ChartPlace): string {
  const rows = rowWords(spec.kind, tooth)
  const moved = rows.unit === 'mm' ? `${rows.name} ` : ''
  return `${signed(columnWords(tooth), place.column)}, ${moved}${signed(rows, place.row)}`
}
