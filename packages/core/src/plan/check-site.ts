import { toothDimensions } from '../crown/index.js'
import { angleDeg } from '../space/index.js'
import { direction, type Json, record, shown, string, vector } from './fields.js'
import { PlanError } from './plan-error.js'

/** The site of a plan. */
export function checkSite(site: Json): void {
  checkTooth(string(site.tooth, 'site.tooth'), 'site.tooth')
  const facial = direction(site.facial, 'site.facial')
  const coronal = direction(site.coronal, 'site.coronal')
  const angle = angleDeg(facial, coronal)
  if (angle < 20 || angle > 160)
    throw new PlanError(
      'site.facial',
      `is ${angle.toFixed(0)} deg from site.coronal: they must be roughly at right angles`,
    )
  if (site.neighbours !== undefined) checkNeighbours(record(site.neighbours, 'site.neighbours'))
}

function checkNeighbours(neighbours: Json): void {
  for (const side of ['mesial', 'distal'] as const) {
    if (neighbours[side] === undefined) continue
    const path = `site.neighbours.${side}`
    const marks = record(neighbours[side], path)
    for (const mark of ['contact', 'cej'] as const)
      if (marks[mark] !== undefined) vector(marks[mark], `${path}.${mark}`)
  }
}

export function checkTooth(tooth: string, path: string): void {
  try {
    toothDimensions(tooth)
  } catch {
    throw new PlanError(path, `must be an ISO 3950 permanent tooth such as "11", got ${shown(tooth)}`)
  }
}
