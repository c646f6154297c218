import { along, dot, type FreeGraft, type Plan, scale, subtract, type Vec3 } from '@alveometer/core'
import { nothing, type SVGTemplateResult, svg } from 'lit'
import { graftRanges, moveGraft, setFreeGraft } from '../session/graft-moves.js'
import { siteDirections } from '../session/site-frame.js'
import { type Pixel, toPixel, type View } from './view.js'

/** What the hand can take hold of on a free graft: its middle, its ends, its borders, and its outside. */
export const graftHandles = [
  'graft',
  'graft-coronal',
  'graft-apical',
  'graft-mesial',
  'graft-distal',
  'graft-thickness',
] as const
export type GraftHandle = (typeof graftHandles)[number]

export const isGraftHandle = (handle: string): handle is GraftHandle =>
  graftHandles.some((one) => one === handle)

const names: Readonly<Record<GraftHandle, string>> = {
  graft: 'Graft: drag to move it; arrow keys 0.1 mm',
  'graft-coronal': 'Coronal end of the graft: drag for its height; arrow keys 0.1 mm',
  'graft-apical': 'Apical end of the graft: drag for its height; arrow keys 0.1 mm',
  'graft-mesial': 'Mesial border of the graft: drag for its width; arrow keys 0.1 mm',
  'graft-distal': 'Distal border of the graft: drag for its width; arrow keys 0.1 mm',
  'graft-thickness': 'Outside of the graft: drag for its thickness; arrow keys 0.1 mm',
}

/** The directions that a free graft's sizes are counted in, unit vectors in LPS. */
function directionsOf(plan: Plan): Readonly<Record<Exclude<GraftHandle, 'graft'>, Vec3>> {
  const { facial, mesial, apical } = siteDirections(plan.site)
  return {
    'graft-coronal': scale(apical, -1),
    'graft-apical': apical,
    'graft-mesial': mesial,
    'graft-distal': scale(mesial, -1),
    'graft-thickness': facial,
  }
}

/**
 * Where a handle stands, LPS mm: on the middle of an end or border, and on the outside: for the thickness towards the
 * apical end, clear of the lettering at the collar.
 */
export function graftPlace(plan: Plan, graft: FreeGraft, handle: GraftHandle): Vec3 {
  const directions = directionsOf(plan)
  const outward = (shareOfThickness: number): Vec3 =>
    along(graft.at, directions['graft-thickness'], shareOfThickness * graft.thicknessMm)
  if (handle === 'graft') return outward(1)
  if (handle === 'graft-thickness')
    return along(outward(1), directions['graft-apical'], thicknessHandleAt * graft.heightMm)
  return along(outward(0.5), directions[handle], graft[sizeOf(handle)] / 2)
}

/** How far apical of its middle a graft's thickness is taken hold of, as a share of its height. */
export const thicknessHandleAt = 0.25

type Border = Exclude<GraftHandle, 'graft' | 'graft-thickness'>

const sizeOf = (handle: Border): 'heightMm' | 'widthMm' =>
  handle === 'graft-coronal' || handle === 'graft-apical' ? 'heightMm' : 'widthMm'

/** The plan after a handle of its free graft was drawn along by a vector in LPS mm; the end across from it stays. */
export function graftDragged(plan: Plan, handle: GraftHandle, deltaMm: Vec3): Plan {
  const { graft } = plan
  if (graft?.kind !== 'free') return plan
  if (handle === 'graft') return moveGraft(plan, deltaMm)
  const direction = directionsOf(plan)[handle]
  const byMm = dot(deltaMm, direction)
  if (handle === 'graft-thickness') return setFreeGraft(plan, { thicknessMm: graft.thicknessMm + byMm })
  const size = sizeOf(handle)
  const [least, most] = graftRanges[size]
  const wanted = Math.max(least, Math.min(most, graft[size] + byMm))
  return setFreeGraft(plan, { [size]: wanted, at: along(graft.at, direction, (wanted - graft[size]) / 2) })
}

/** A target of 36 pixels: they stand closer than the fixture's. */
const areaRadius = 18
/** Closer handles than this to another one cannot be told from it, pixels. */
const apartPx = 12

/** The plane of a drawing: a point in it, and its normal. */
export interface CutBy {
  readonly through: Vec3
  readonly normal: Vec3
  /** The graft's size along the normal. */
  readonly size: 'heightMm' | 'widthMm'
}

/**
 * Handles of the plan's free graft on a drawing that cuts it: squares for ends and borders, a diamond for its outside, a
 * circle for its middle. None where nothing is grafted freely, or elsewhere.
 * @param at where a handle is drawn when not at its own place in the patient
 */
export function graftGrips(
  view: View,
  plan: Plan,
  which: readonly GraftHandle[],
  cut: CutBy,
  at: Partial<Readonly<Record<GraftHandle, Vec3>>> = {},
): SVGTemplateResult | typeof nothing {
  const { graft } = plan
  if (graft?.kind !== 'free') return nothing
  const awayMm = Math.abs(dot(subtract(graft.at, cut.through), cut.normal))
  if (awayMm > graft[cut.size] / 2) return nothing
  return svg`${which.map((handle) => grip(handle, toPixel(view, at[handle] ?? graftPlace(plan, graft, handle))))}`
}

function grip(handle: GraftHandle, [x, y]: Pixel): SVGTemplateResult {
  const half = apartPx / 2 - 1
  const mark =
    handle === 'graft'
      ? svg`<circle class="mark" cx=${x} cy=${y} r=${half + 1}></circle>`
      : svg`<rect class="mark" x=${x - half} y=${y - half} width=${2 * half} height=${2 * half}
          transform=${handle === 'graft-thickness' ? `rotate(45 ${x} ${y})` : 'rotate(0)'}></rect>`
  return svg`<g class="grip" part="handle handle-${handle}" data-handle=${handle} tabindex="0" role="button" aria-label=${names[handle]}>
    <title>${names[handle]}</title><circle class="area" cx=${x} cy=${y} r=${areaRadius}></circle>${mark}</g>`
}
