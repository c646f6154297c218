import type { MeasuredPose } from './limit-readings.js'
import type { CloudOf } from './miss-cloud-of.js'

/** What is to be known about a cloud beside what holds of every assessment. */
export function cautionsOf({ way, error, surfaceSdMm }: CloudOf, { bone }: MeasuredPose): readonly string[] {
  const cautions =
    error.kind === 'own' ? [] : ['Placement errors are published averages, not those of this hand or guide.']
  if (way === 'straight' || way === 'straight-graft')
    cautions.push('The wall round the access channel is left out; where the channel leaves is held.')
  if (way === 'angled')
    cautions.push(
      'The bend is the least to the wanted place, whether or not it keeps the wall round the channel.',
    )
  if (way === 'straight-graft') cautions.push('Margins are not held: bone is to be added.')
  else if (surfaceSdMm === 0) cautions.push('The surface of bone is taken to lie exactly where it was found.')
  if (bone !== undefined && bone.openShare > 0)
    cautions.push('The scan ends near the fixture: placements whose margin it cannot show count as missed.')
  return cautions
}
