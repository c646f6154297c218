import { type BoneMargin, marginWith } from '../bone/index.js'
import type { FixtureFrame, FixtureProfile } from '../fixture/index.js'
import { FAR_MM } from './bone-under.js'
import { closedGap } from './field-of.js'
import type { GraftField } from './graft-result.js'
import { nodeReader } from './node-reader.js'

/**
 * The margin as it would be with a graft in place, as built or after the loss: a ray ends where bone or graft reaches
 * farther. Where the fixture's axis stands outside bone, rays whose fixture side lies in bone end at that bone, and rays
 * across a filled gap at the outside of the bone behind it. Without a graft it is the margin itself.
 */
export function graftedMargin(
  margin: BoneMargin,
  field: GraftField | null,
  which: 'outer' | 'kept',
  frame: FixtureFrame,
  profile: FixtureProfile,
): BoneMargin {
  if (field === null) return margin
  const read = nodeReader(field, which)
  const { ground, depthsMm, anglesDeg } = field
  const columns = anglesDeg.length
  const layer = which === 'outer' ? ground.builtMm : ground.keptMm
  const stepMm = depthsMm[1] - depthsMm[0]
  return marginWith(margin, frame, profile, (depthMm, angleDeg, state) => {
    if (state === 'no-data') return Number.NaN
    const { baseMm, gapMm } = read(depthMm, angleDeg)
    if (Number.isNaN(gapMm)) return Number.NaN
    const row = Math.round((depthMm - depthsMm[0]) / stepMm)
    const n = row * columns + (Math.round((angleDeg * columns) / 360) % columns)
    if (gapMm > 0) {
      const across = closedGap(ground, ground.baseMm, layer[n], n)
      const reach = across ? Math.max(baseMm + gapMm, ground.farMm[n]) : baseMm + gapMm
      return reach < FAR_MM ? reach : Number.POSITIVE_INFINITY
    }
    if (state !== 'axis-outside' || !(baseMm > ground.fixtureMm[row])) return Number.NaN
    return baseMm < FAR_MM ? baseMm : Number.POSITIVE_INFINITY
  })
}
