import { axisPoint, type FixtureFrame, radialDirection } from '../fixture/index.js'
import { along, type Vec3 } from '../space/index.js'
import type { GraftField, GraftOutlines } from './graft-result.js'
import { nodeReader } from './node-reader.js'

/** Closed lines of a graft in the plane through the axis at an angle and the one across from it, LPS mm. */
export function graftOutlines(field: GraftField, frame: FixtureFrame, angleDeg: number): GraftOutlines {
  const loops = (which: 'outer' | 'kept') =>
    [angleDeg, angleDeg + 180].flatMap((angle) => sideLoops(field, frame, angle, which))
  return { built: loops('outer'), kept: loops('kept') }
}

/** A place of the outline: base and outside along one ray, mm from the axis. */
interface Station {
  readonly depthMm: number
  readonly innerMm: number
  readonly outerMm: number
}

function sideLoops(
  field: GraftField,
  frame: FixtureFrame,
  angleDeg: number,
  which: 'outer' | 'kept',
): Vec3[][] {
  const read = nodeReader(field, which)
  const direction = radialDirection(frame, angleDeg)
  const loops: Vec3[][] = []
  let run: Station[] = []
  const finish = () => {
    if (run.length > 1) {
      const place = (depthMm: number, mm: number) => along(axisPoint(frame, depthMm), direction, mm)
      loops.push([
        ...run.map(({ depthMm, innerMm }) => place(depthMm, innerMm)),
        ...[...run].reverse().map(({ depthMm, outerMm }) => place(depthMm, outerMm)),
      ])
    }
    run = []
  }
  let before: (Station & { readonly gapMm: number }) | null = null
  for (const depthMm of field.depthsMm) {
    const { baseMm, gapMm } = read(depthMm, angleDeg)
    const here = { depthMm, innerMm: baseMm, outerMm: baseMm + gapMm, gapMm }
    if (before !== null && before.gapMm > 0 !== gapMm > 0) {
      const edge = zeroBetween(before, here)
      if (gapMm > 0) run = edge
      else {
        run.push(...edge)
        finish()
      }
    }
    if (gapMm > 0) run.push(here)
    before = here
  }
  finish()
  return loops
}

type Known = Station & { readonly gapMm: number }

/** Where the thickness is zero between two depths; half way, with a blunt end, where the other is not known. */
function zeroBetween(a: Known, b: Known): Station[] {
  if (Number.isNaN(a.gapMm + b.gapMm)) {
    const known = Number.isNaN(a.gapMm) ? b : a
    return [{ ...known, depthMm: (a.depthMm + b.depthMm) / 2 }]
  }
  const share = a.gapMm / (a.gapMm - b.gapMm)
  const depthMm = a.depthMm + (b.depthMm - a.depthMm) * share
  // On the graft's own side the base may differ from what lies beyond its edge.
  const on = a.gapMm > 0 ? a : b
  const mm =
    on.innerMm +
    (Math.abs(a.innerMm - b.innerMm) < 1
      ? ((a.gapMm > 0 ? b : a).innerMm - on.innerMm) * (a.gapMm > 0 ? share : 1 - share)
      : 0)
  return [{ depthMm, innerMm: mm, outerMm: mm }]
}
