import type { Vec3 } from '../space/index.js'
import { checkTooth, isUpper, placeInQuadrant } from './tooth.js'
import { toothDimensions } from './tooth-dimensions.js'

/** The mean arch as a curve of the beta function: Braun, Hnat, Fender and Legan 1998, Angle Orthod 68:29 (from memory). */
const FACTOR = 3.0314
const POWER = 0.8

/**
 * Width of the arch at its second molars, mm. Own choice: 6 and 8 mm more than the means between the first molars
 * (upper 50 to 52, lower 44 to 46 mm, anthropometry, from memory).
 */
const WIDTH_MM = { upper: 57, lower: 53 }

/** Places the curve is followed by, from the midline to the second molar. */
const STEPS = 2000

interface Station {
  /** Along the arch from the midline. */
  readonly alongMm: number
  /** Between the outward normal and straight ahead. */
  readonly normalDeg: number
}

const arches = new Map<boolean, readonly Station[]>()

/**
 * Which way a tooth faces where it stands on the mean arch: the angle between the arch's outward normal there and
 * straight ahead, degrees, 0 to 90. Teeth stand side by side at the widths of the table; the arch is as deep as
 * the curve has to be to hold seven of them a side. Third molars face as the end of the arch.
 * @throws RangeError naming the value for an unknown tooth.
 */
export function archFacialDeg(tooth: string): number {
  const place = placeInQuadrant(checkTooth(tooth))
  const side = tooth[0]
  const widths = Array.from({ length: place }, (_, i) => toothDimensions(`${side}${i + 1}`).widthMdMm)
  const middle = widths.reduce((sum, width) => sum + width, 0) - widths[place - 1] / 2
  const arch = archOf(isUpper(tooth))
  const beyond = arch.findIndex((station) => station.alongMm >= middle)
  if (place > 7 || beyond < 0) return arch[arch.length - 1].normalDeg
  return arch[beyond].normalDeg
}

/**
 * The same as a direction in LPS for a head that stands upright: to the patient's left for teeth of the left side.
 * @throws RangeError naming the value for an unknown tooth.
 */
export function archFacial(tooth: string): Vec3 {
  const turn = (archFacialDeg(tooth) * Math.PI) / 180
  const left = tooth[0] === '2' || tooth[0] === '3'
  return [(left ? 1 : -1) * Math.sin(turn), -Math.cos(turn), 0]
}

function archOf(upper: boolean): readonly Station[] {
  const known = arches.get(upper)
  if (known) return known
  const width = upper ? WIDTH_MM.upper : WIDTH_MM.lower
  const wanted = Array.from(
    { length: 7 },
    (_, i) => toothDimensions(`${upper ? 1 : 3}${i + 1}`).widthMdMm,
  ).reduce((sum, mm) => sum + mm, 0)
  let [shallow, deep] = [1, 200]
  for (let i = 0; i < 50; i++) {
    const depth = (shallow + deep) / 2
    const stations = stationsOf(width, depth)
    if (stations[stations.length - 1].alongMm < wanted) shallow = depth
    else deep = depth
  }
  const arch = stationsOf(width, (shallow + deep) / 2)
  arches.set(upper, arch)
  return arch
}

function stationsOf(width: number, depth: number): readonly Station[] {
  const height = (x: number) =>
    FACTOR * depth * Math.max(0, x / width + 0.5) ** POWER * Math.max(0, 0.5 - x / width) ** POWER
  let alongMm = 0
  return Array.from({ length: STEPS }, (_, i) => {
    const [from, to] = [(i * width) / (2 * STEPS), ((i + 1) * width) / (2 * STEPS)]
    const fall = height(from) - height(to)
    alongMm += Math.hypot(to - from, fall)
    return { alongMm, normalDeg: (Math.atan2(fall, to - from) * 180) / Math.PI }
  })
}
