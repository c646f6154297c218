import { casesOf, type Findings, ofCase } from '../findings.js'
import { mean, quantile, summary } from '../summary.js'
import { digits, signed, table } from './table.js'

/** Shortest distances: the refined map, and the least of it in both modes. */
export const nearestTable = ({ nearest }: Findings): string[] =>
  table(
    ['scene', 'places', 'bias', 'SD', 'p95', 'least, refined: mean', 'SD', 'least, fast: mean', 'SD'],
    casesOf(nearest).map((name) => {
      const found = ofCase(nearest, name)
      const map = summary(found.flatMap((f) => f.mapErrorMm))
      const refined = summary(found.map((f) => f.leastErrorMm.refined))
      const fast = summary(found.map((f) => f.leastErrorMm.fast))
      return [
        name,
        String(map.rays),
        signed(map.bias),
        digits(map.sd),
        digits(map.p95),
        signed(refined.bias),
        digits(refined.sd),
        signed(fast.bias),
        digits(fast.sd),
      ]
    }),
  )

/** Mean grey against quadrature, per cent. */
export const densityTable = ({ density }: Findings): string[] =>
  table(
    ['field', 'core: mean |error|, %', 'greatest', 'shell: mean |error|, %', 'greatest'],
    casesOf(density).map((name) => {
      const found = ofCase(density, name)
      const cells = (all: readonly number[]) => [digits(mean(all), 3), digits(quantile(all, 1), 3)]
      return [
        name,
        ...cells(found.map((f) => Math.abs(f.corePercent))),
        ...cells(found.map((f) => Math.abs(f.shellPercent))),
      ]
    }),
  )
