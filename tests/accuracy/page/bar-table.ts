import type { Bar } from '../bars.js'
import { digits, table } from './table.js'

export const barTable = (bars: readonly Bar[]): string[] =>
  table(
    ['bar', 'wanted', 'worst seed', 'all seeds', 'met'],
    bars.map((bar) => [
      bar.name,
      bar.wanted,
      digits(bar.worst, bar.digits),
      digits(bar.pooled, bar.digits),
      bar.met ? 'yes' : '**no**',
    ]),
  )
