import { crownNorm, type Plan, type PublishedNorm } from '@alveometer/core'
import { setCrownStand } from '../session/index.js'
import { deg } from '../text/format.js'

const kinds: Readonly<Record<PublishedNorm['what'], string>> = {
  'long-axis-tilt': 'Long axis against the vertical',
  'crown-inclination': "Crown's facial face against the vertical of the occlusal plane",
}

const leaning = (value: number): string => `${deg(Math.abs(value))} ${value < 0 ? 'inward' : 'facial'}`

/** What the published means say of how a tooth stands, each with its source. */
export function normWords(tooth: string): readonly string[] {
  const { tiltFacialDeg, source, published } = crownNorm(tooth)
  return [
    `Start: long axis ${leaning(tiltFacialDeg)}, in line with the arch. ${source}`,
    ...published.map((norm) => `${kinds[norm.what]}: ${leaning(norm.deg)}. ${norm.source}`),
  ]
}

/** The plan with its crown tilted and turned as the published mean of its tooth; its cervical centre stays. */
export function setToNorm(plan: Plan): Plan {
  const { tiltFacialDeg, rotationDeg } = crownNorm(plan.site.tooth)
  return setCrownStand(plan, { facialDeg: tiltFacialDeg, mesialDeg: 0, rotationDeg })
}
