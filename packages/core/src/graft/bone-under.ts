import type { BoneRow } from './bone-rows.js'

/** Bone under a graft at the nodes of its field; see BoneRow. */
export interface BoneUnder {
  readonly exitMm: Float64Array
  readonly ceilingMm: Float64Array
  readonly farMm: Float64Array
  readonly free: Uint8Array
  readonly open: Uint8Array
}

/** Stands for bone beyond range: farther than rays are followed. */
export const FAR_MM = 12

/**
 * Rows of bone brought to the nodes of a field. Between two rays of a row the surface is taken as flat, for which 1/r is
 * a sinusoid of the angle; between two rows as straight. Where only one of the two has bone, the nearer one counts.
 */
export function boneUnder(
  rows: readonly BoneRow[],
  rayAnglesDeg: readonly number[],
  depthsMm: readonly number[],
  anglesDeg: readonly number[],
): BoneUnder {
  const count = depthsMm.length * anglesDeg.length
  const under = {
    exitMm: new Float64Array(count),
    ceilingMm: new Float64Array(count).fill(Number.POSITIVE_INFINITY),
    farMm: new Float64Array(count),
    free: new Uint8Array(count),
    open: new Uint8Array(count),
  }
  if (rows.length === 0) return under
  const fine = rows.map((row) => finer(row, rayAnglesDeg, anglesDeg))
  const columns = anglesDeg.length
  let above = 0
  for (const [row, depthMm] of depthsMm.entries()) {
    while (above + 2 < rows.length && rows[above + 1].depthMm <= depthMm) above++
    const below = Math.min(above + 1, rows.length - 1)
    const span = rows[below].depthMm - rows[above].depthMm
    const share = span > 0 ? (depthMm - rows[above].depthMm) / span : 0
    const inside = share > -1e-9 && share < 1 + 1e-9
    const [a, b] = [fine[above], fine[below]]
    for (let c = 0; c < columns; c++) {
      const at = row * columns + c
      const near = share < 0.5 ? a : b
      const straight = (u: number, v: number, nearer: number, lone: number) =>
        u === lone || v === lone ? nearer : u + (v - u) * share
      // A ray beyond range says nothing of how far bone reaches on the next.
      under.exitMm[at] =
        Math.max(a.exitMm[c], b.exitMm[c]) < FAR_MM
          ? straight(a.exitMm[c], b.exitMm[c], near.exitMm[c], 0)
          : near.exitMm[c]
      under.ceilingMm[at] = straight(
        a.ceilingMm[c],
        b.ceilingMm[c],
        near.ceilingMm[c],
        Number.POSITIVE_INFINITY,
      )
      under.farMm[at] = near.farMm[c]
      under.free[at] = inside ? near.free[c] : 0
      under.open[at] = inside ? near.open[c] : 1
    }
  }
  return under
}

function finer(row: BoneRow, rayAnglesDeg: readonly number[], anglesDeg: readonly number[]): BoneUnder {
  const columns = rayAnglesDeg.length
  const stepDeg = 360 / columns
  const step = (stepDeg * Math.PI) / 180
  const fine = {
    exitMm: new Float64Array(anglesDeg.length),
    ceilingMm: new Float64Array(anglesDeg.length),
    farMm: new Float64Array(anglesDeg.length),
    free: new Uint8Array(anglesDeg.length),
    open: new Uint8Array(anglesDeg.length),
  }
  for (const [n, angle] of anglesDeg.entries()) {
    const place = ((((angle - rayAnglesDeg[0]) % 360) + 360) % 360) / stepDeg
    const from = Math.floor(place + 1e-9) % columns
    const to = (from + 1) % columns
    const share = Math.max(0, place - Math.floor(place + 1e-9))
    const near = share < 0.5 ? from : to
    const [v, w] = [Math.sin((1 - share) * step) / Math.sin(step), Math.sin(share * step) / Math.sin(step)]
    const flat = (a: number, b: number) => 1 / (v / Math.min(a, FAR_MM) + w / Math.min(b, FAR_MM))
    const { exitMm, ceilingMm } = row
    fine.exitMm[n] =
      exitMm[from] === 0 || exitMm[to] === 0
        ? Math.min(exitMm[near], FAR_MM)
        : Math.min(FAR_MM, flat(exitMm[from], exitMm[to]))
    fine.ceilingMm[n] =
      Number.isFinite(ceilingMm[from]) && Number.isFinite(ceilingMm[to])
        ? flat(ceilingMm[from], ceilingMm[to])
        : ceilingMm[near]
    fine.farMm[n] = row.farMm[near]
    fine.free[n] = row.free[near]
    fine.open[n] = row.open[near]
  }
  return fine
}
