import { plateGrey } from './edge-fit.js'
import { LOW_SHARE } from './levels.js'

/**
 * How much farther in than 1.175 S a plate's low crossing lies when the plate is thin, in units of S, by the height of
 * its blurred peak (0 soft level, 1 cortical level). Closed form of a blurred plate with marrow behind; a thick plate
 * has a peak of 1 and no shift.
 */
export function thinPlateShift(peak: number): number {
  const at = Math.max(0, Math.min(1, (peak - LEAST_PEAK) / (1 - LEAST_PEAK))) * (SHIFTS.length - 1)
  const n = Math.min(SHIFTS.length - 2, Math.floor(at))
  return SHIFTS[n] + (SHIFTS[n + 1] - SHIFTS[n]) * (at - n)
}

/** Marrow as a share of the contrast; the shift hardly depends on it. */
const MARROW = 0.24
/** Below this a peak says nothing about thickness: the shift stays what it is here. */
const LEAST_PEAK = 0.4
const SHIFTS = shiftTable(61)

function shiftTable(entries: number): Float64Array {
  const plates = Array.from({ length: 400 }, (_, n) => plate(0.4 + 0.02 * n))
  const thick = plates[plates.length - 1].crossing
  return Float64Array.from({ length: entries }, (_, n) => {
    const peak = LEAST_PEAK + ((1 - LEAST_PEAK) * n) / (entries - 1)
    const above = plates.findIndex((p) => p.peak >= peak)
    if (above < 0) return 0
    if (above === 0) return thick - plates[0].crossing
    const [a, b] = [plates[above - 1], plates[above]]
    return thick - (a.crossing + ((b.crossing - a.crossing) * (peak - a.peak)) / (b.peak - a.peak))
  })
}

/** Peak and low crossing of a plate of a thickness, all in units of S, outer face at 0. */
function plate(thickness: number): { readonly peak: number; readonly crossing: number } {
  const model = {
    outerMm: 0,
    thicknessMm: thickness,
    innerGrey: MARROW,
    outsideGrey: 0,
    cortexGrey: 1,
    sigmaMm: 1,
  }
  let peak = 0
  for (let x = -thickness - 1; x <= 1; x += 0.01) peak = Math.max(peak, plateGrey(model, x))
  let low = -0.5
  let high = 3
  for (let turn = 0; turn < 50; turn++) {
    const middle = (low + high) / 2
    if (plateGrey(model, middle) > LOW_SHARE) low = middle
    else high = middle
  }
  return { peak, crossing: low }
}
