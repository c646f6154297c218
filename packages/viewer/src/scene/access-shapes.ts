import {
  type AccessChannel,
  type AngledChannel,
  along,
  cross,
  dot,
  type ExitResult,
  type Mesh,
  normalize,
  subtract,
  type Vec3,
} from '@alveometer/core'

/** The access through the crown as lines over the picture, LPS mm. */
export interface AccessLines {
  /** The exit's outline, closed. */
  readonly rim: readonly Vec3[] | null
  /** What channels bent by the limit reach, closed. */
  readonly reach: readonly Vec3[] | null
  /** The least bent channel, from its bend to past its exit, where a straight one does not leave as wanted. */
  readonly bend: { readonly line: readonly [Vec3, Vec3]; readonly deg: number } | null
}

/** How far a centre line runs beyond what it belongs to, mm. */
const beyondMm = 2

export function accessLines(channel: AccessChannel | null, angled: AngledChannel | null): AccessLines {
  const pivot = angled?.pivot ?? null
  const least = angled?.least ?? null
  const bent = pivot !== null && least !== null && least.correctionDeg >= 0.05
  return {
    rim: channel?.outline ?? null,
    reach: angled?.reachable ?? null,
    bend: bent
      ? {
          line: [pivot, along(least.exit, normalize(subtract(least.exit, pivot)), beyondMm)],
          deg: least.correctionDeg,
        }
      : null,
  }
}

/**
 * The wall of a straight channel, LPS mm: from where it enters the crown up to the exit's outline, open at both ends,
 * its faces turned outward. Null where the channel meets no crown.
 */
export function channelTube(exit: ExitResult | null, channel: AccessChannel | null): Mesh | null {
  const run = exit?.channel ?? null
  const rim = channel?.outline ?? null
  if (run === null || rim === null || rim.length < 3) return null
  const coronal = normalize(subtract(run.exit, run.entry))
  const foot = (p: Vec3): Vec3 => along(p, coronal, -dot(subtract(p, run.entry), coronal))
  const feet = rim.map(foot)
  const count = rim.length
  // Round the axis against the clock, seen against the coronal direction, or with it.
  const turn = feet.reduce((sum, p, n) => {
    const [a, b] = [subtract(p, run.entry), subtract(feet[(n + 1) % count], run.entry)]
    return sum + dot(coronal, cross(a, b))
  }, 0)
  const triangles = rim.flatMap((_, n) => {
    const next = (n + 1) % count
    const [low, lowNext, high, highNext] = [n, next, count + n, count + next]
    return turn > 0
      ? [low, lowNext, high, high, lowNext, highNext]
      : [low, high, lowNext, high, highNext, lowNext]
  })
  return {
    positions: Float64Array.from([...feet, ...rim].flat()),
    triangles: Uint32Array.from(triangles),
  }
}
