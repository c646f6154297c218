import {
  type Crown,
  column,
  cross,
  invert,
  isPosterior,
  type Mat4,
  oralSide,
  type PlacedCrown,
  plusYSide,
  scale,
  transformDirection,
  transformPoint,
  type Vec3,
} from '@alveometer/core'
import type { SideWords } from '../drawing/frame-words.js'
import type { ViewAxes } from '../drawing/view.js'

/** Where the crown is seen from: along its long axis from its coronal end, or from the side of the mouth or the face. */
export type CrownSide = 'occlusal' | 'oral' | 'facial'

/** The axes of a drawing and, as `normal`, the direction in which the viewer looks. */
type Axes = ViewAxes

/**
 * A crown as it lies in the drawing. Nothing is ever seen in a mirror: from the coronal end with facial above (upper
 * teeth so have the patient's left on the right as the collar has, lower ones, seen from above, on the left); from
 * facial or oral with superior above.
 */
export function crownAxes(pose: Mat4, side: CrownSide): Axes {
  const facial = column(pose, 0)
  const apical = column(pose, 2)
  const down = side === 'occlusal' ? scale(facial, -1) : scale(apical, apical[2] > 0 ? -1 : 1)
  const normal = side === 'occlusal' ? apical : side === 'facial' ? scale(facial, -1) : facial
  return { right: cross(down, normal), down, normal }
}

/** The trade's words for the four sides of a drawing with axes that may have been turned a little since. */
export function sideWords(crown: Crown, pose: Mat4, { right, down }: Axes): Required<SideWords> {
  const toCrown = invert(pose)
  const word = (direction: Vec3): string => {
    const [x, y, z] = transformDirection(toCrown, direction)
    const greatest = Math.max(Math.abs(x), Math.abs(y), Math.abs(z))
    if (Math.abs(x) === greatest) return x > 0 ? 'facial' : oralSide(crown.tooth)
    if (Math.abs(z) === greatest) return z > 0 ? 'apical' : coronalWord(crown.tooth)
    return y > 0 === (plusYSide(crown.tooth) === 'mesial') ? 'mesial' : 'distal'
  }
  return { left: word(scale(right, -1)), right: word(right), top: word(scale(down, -1)), bottom: word(down) }
}

/** What the end away from the root is called. */
export const coronalWord = (tooth: string): 'occlusal' | 'incisal' =>
  isPosterior(tooth) ? 'occlusal' : 'incisal'

const boxes = new WeakMap<Crown, readonly [Vec3, Vec3]>()

/** The least and the greatest coordinates of a crown in its own frame, mm. */
export function crownBox(crown: Crown): readonly [low: Vec3, high: Vec3] {
  const known = boxes.get(crown)
  if (known) return known
  const low: [number, number, number] = [Infinity, Infinity, Infinity]
  const high: [number, number, number] = [-Infinity, -Infinity, -Infinity]
  const { positions } = crown.mesh
  for (let n = 0; n < positions.length; n++) {
    const axis = n % 3
    low[axis] = Math.min(low[axis], positions[n])
    high[axis] = Math.max(high[axis], positions[n])
  }
  boxes.set(crown, [low, high])
  return [low, high]
}

/** The middle of the crown's box, LPS mm. */
export function crownMiddle({ crown, pose }: PlacedCrown): Vec3 {
  const [low, high] = crownBox(crown)
  return transformPoint(pose, [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2, (low[2] + high[2]) / 2])
}

/** Width and height of the crown in the drawing, mm. */
export function crownExtent(crown: Crown, side: CrownSide): readonly [acrossMm: number, downMm: number] {
  const [low, high] = crownBox(crown)
  const span = (axis: 0 | 1 | 2): number => high[axis] - low[axis]
  return [span(1), span(side === 'occlusal' ? 0 : 2)]
}
