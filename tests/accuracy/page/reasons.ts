/** Where on a simulated scan the measurement misses, and why, after looking at the scan there. */
interface Reason {
  readonly scan: string
  /** Depths and angles, both ends in; angles may run through 0. */
  readonly depthsMm: readonly [number, number]
  readonly anglesDeg: readonly [number, number]
  readonly plans?: readonly string[]
  readonly why: string
}

const REASONS: readonly Reason[] = []

/** Why a ray misses, in words; empty where nobody has looked. */
export function reasonFor(scan: string, plan: string, depthMm: number, angleDeg: number): string {
  const found = REASONS.find(
    (r) =>
      r.scan === scan &&
      (r.plans?.includes(plan) ?? true) &&
      depthMm >= r.depthsMm[0] &&
      depthMm <= r.depthsMm[1] &&
      isBetween(angleDeg, r.anglesDeg),
  )
  return found?.why ?? ''
}

const isBetween = (angle: number, [from, to]: readonly [number, number]): boolean =>
  from <= to ? angle >= from && angle <= to : angle >= from || angle <= to
