import { type UnscannedBound, unscannedBound } from './surface-probe-open.js'
import type { ProbePose } from './surface-probe-pose.js'
import {
  ProbeTrace,
  RAY_AXIS_OUTSIDE,
  RAY_CLEAR,
  RAY_ENDS,
  RAY_NO_DATA,
  RAY_NO_SURFACE,
} from './surface-probe-trace.js'

/**
 * Between nodes a field of distances may say more than there is, mm: bone is taken as clear by so much less than it says.
 * Own measurement.
 */
export const SLACK_MM = 0.05
/** A block is parted when a look takes it forward by less than this share of what is left: own measurement of speed. */
const LEAST_SHARE = 0.3
/** How far from the axis a surface is looked for, mm, as on the rays of a margin. */
const RANGE_MM = 10

/** The rays of a pose that end near: the others are passed over in blocks. */
export class ProbeRays {
  /** By row and column of the map: where bone ends, or data does, mm from the axis; NaN where it was not looked for. */
  readonly endMm: Float64Array
  /** RAY_CLEAR for a ray that was passed over. */
  readonly states: Uint8Array
  /** Least bone by sector, mm; infinite where no ray has a number. */
  readonly leastMm: Float64Array
  /** No more than the distance from each row's start to what was not scanned, mm. */
  readonly scannedMm: Float64Array
  readonly pose: ProbePose
  readonly #unscanned: UnscannedBound | null
  readonly #trace: ProbeTrace
  readonly #askedMm: Float64Array
  readonly #order: Uint16Array
  readonly #sideMm: Float64Array
  /** Whether the least are wanted, whatever is asked. */
  #least = true

  constructor(pose: ProbePose) {
    const { rows, columns, sectors, blocks } = pose.layout
    this.pose = pose
    this.#trace = new ProbeTrace(pose)
    this.endMm = new Float64Array(rows * columns)
    this.states = new Uint8Array(rows * columns)
    this.leastMm = new Float64Array(sectors)
    this.#unscanned = unscannedBound(pose.field.surface)
    this.scannedMm = new Float64Array(rows).fill(Number.POSITIVE_INFINITY)
    this.#askedMm = new Float64Array(columns)
    this.#order = new Uint16Array(blocks.length)
    this.#sideMm = new Float64Array(blocks.length)
  }

  /**
   * The least bone by sector, and the end of every ray on which it lies nearer than is asked.
   * @param askedMm by column, mm of bone beyond the fixture's side; null when nothing is.
   */
  search(askedMm: Float64Array | null): void {
    this.#prepare(askedMm)
    this.#least = true
    this.#sortBlocks()
    for (let sector = 0; sector < this.leastMm.length; sector++) this.#seed(sector)
    for (const n of this.#order) this.#lookAt(n)
  }

  /** The end of every ray on which bone lies nearer than is asked, and no least. */
  follow(askedMm: Float64Array): void {
    this.#prepare(askedMm)
    this.#least = false
    for (let n = 0; n < this.#order.length; n++) this.#lookAt(n)
  }

  #prepare(askedMm: Float64Array | null): void {
    const { columns, columnAt } = this.pose.layout
    this.endMm.fill(Number.NaN)
    this.states.fill(RAY_CLEAR)
    this.leastMm.fill(Number.POSITIVE_INFINITY)
    for (let place = 0; place < columns; place++)
      this.#askedMm[place] = askedMm === null ? Number.NEGATIVE_INFINITY : askedMm[columnAt[place]]
    this.#markAxis()
  }

  #lookAt(block: number): void {
    const { fromRow, toRow, fromPlace, toPlace } = this.pose.layout.blocks[block]
    this.#look(fromRow, toRow, fromPlace, toPlace, 0)
  }

  /** The end of a ray that was passed over, mm from the axis; infinite beyond range. */
  complete(row: number, column: number): number {
    const { columns, placeOf } = this.pose.layout
    const n = row * columns + column
    if (this.states[n] === RAY_CLEAR) this.#follow(row, placeOf[column], 0, RANGE_MM)
    return this.states[n] === RAY_ENDS || this.states[n] === RAY_NO_DATA
      ? this.endMm[n]
      : Number.POSITIVE_INFINITY
  }

  #markAxis(): void {
    const { rows, columns } = this.pose.layout
    const { starts } = this.pose
    for (let row = 0; row < rows; row++) {
      if (this.#unscanned !== null)
        this.scannedMm[row] = this.#unscanned(starts[3 * row], starts[3 * row + 1], starts[3 * row + 2])
      const v = this.pose.onRay(row, 0, 0)
      if (v > 0) continue
      const noData = Number.isNaN(v) || this.#endsInNoData(row, 0, 0)
      this.states.fill(noData ? RAY_NO_DATA : RAY_AXIS_OUTSIDE, row * columns, (row + 1) * columns)
      this.endMm.fill(0, row * columns, (row + 1) * columns)
    }
  }

  #isAxisBare(row: number): boolean {
    const n = row * this.pose.layout.columns
    return this.states[n] === RAY_AXIS_OUTSIDE || (this.states[n] === RAY_NO_DATA && this.endMm[n] === 0)
  }

  /** Those whose side lies nearest to the outside first: a small least margin found early spares the others. */
  #sortBlocks(): void {
    const { blocks, depthsMm, radiiMm } = this.pose.layout
    const order = this.#order
    for (let n = 0; n < blocks.length; n++) {
      const { fromRow, toRow, fromPlace, toPlace } = blocks[n]
      const depthMm = (depthsMm[fromRow] + depthsMm[toRow]) / 2
      const v = this.pose.at(depthMm, fromPlace + toPlace, radiiMm[(fromRow + toRow) >> 1])
      this.#sideMm[n] = Number.isNaN(v) ? Number.POSITIVE_INFINITY : v
      let at = n
      while (at > 0 && this.#sideMm[order[at - 1]] > this.#sideMm[n]) {
        order[at] = order[at - 1]
        at--
      }
      order[at] = n
    }
  }

  /** The middle of the block whose side lies nearest to the outside. */
  #seed(sector: number): void {
    const { blocks, sectorAt } = this.pose.layout
    for (const n of this.#order) {
      const { fromRow, toRow, fromPlace, toPlace } = blocks[n]
      const row = (fromRow + toRow) >> 1
      if (sectorAt[fromPlace] !== sector || this.#isAxisBare(row)) continue
      this.#ray(row, (fromPlace + toPlace) >> 1, 0)
      return
    }
  }

  /**
   * Looks whether bone reaches far enough along all rays of a block: along the middle one from ball to ball of bone, each
   * as large as to cover the block; where they become too small the block is parted.
   * @param fromMm that far from the axis the block's rays are known to be in bone.
   */
  #look(fromRow: number, toRow: number, fromPlace: number, toPlace: number, fromMm: number): void {
    if (fromRow === toRow) {
      if (this.#isAxisBare(fromRow)) return
      if (fromPlace === toPlace) {
        this.#ray(fromRow, fromPlace, fromMm)
        return
      }
    }
    const { depthsMm, halfCosines, pitchMm } = this.pose.layout
    const toMm = this.#reachMm(fromRow, toRow, fromPlace, toPlace)
    const depthMm = (depthsMm[fromRow] + depthsMm[toRow]) / 2
    const tallMm = depthsMm[toRow] - depthsMm[fromRow]
    const cosine = halfCosines[toPlace - fromPlace]
    const sineSquared = 1 - cosine * cosine
    let mm = fromMm
    while (mm < toMm) {
      const ball = this.pose.at(depthMm, fromPlace + toPlace, mm) - SLACK_MM
      const rest = ball * ball - (tallMm * tallMm) / 4 - mm * mm * sineSquared
      if (!(ball > 0 && rest > 0)) break
      const gain = mm * cosine + Math.sqrt(rest) - mm
      if (gain > 0) mm += gain
      if (gain < LEAST_SHARE * (toMm - mm)) break
    }
    if (mm >= toMm) return
    if (toPlace === fromPlace || (toRow > fromRow && tallMm > (toPlace - fromPlace) * pitchMm)) {
      const middle = (fromRow + toRow) >> 1
      this.#look(fromRow, middle, fromPlace, toPlace, mm)
      this.#look(middle + 1, toRow, fromPlace, toPlace, mm)
    } else {
      const middle = (fromPlace + toPlace) >> 1
      this.#look(fromRow, toRow, fromPlace, middle, mm)
      this.#look(fromRow, toRow, middle + 1, toPlace, mm)
    }
  }

  /** How far from the axis the ends of a block's rays matter, mm. */
  #reachMm(fromRow: number, toRow: number, fromPlace: number, toPlace: number): number {
    const { radiiMm, sectorAt } = this.pose.layout
    const asked = this.#askedMm
    let radiusMm = 0
    for (let row = fromRow; row <= toRow; row++) if (radiiMm[row] > radiusMm) radiusMm = radiiMm[row]
    let mm = this.#least ? this.leastMm[sectorAt[fromPlace]] : Number.NEGATIVE_INFINITY
    for (let place = fromPlace; place <= toPlace; place++) if (asked[place] > mm) mm = asked[place]
    return Math.min(RANGE_MM, radiusMm + mm)
  }

  #ray(row: number, place: number, fromMm: number): void {
    const { columns, columnAt, sectorAt, radiiMm } = this.pose.layout
    if (this.states[row * columns + columnAt[place]] !== RAY_CLEAR) return
    const askedMm = this.#askedMm[place]
    const mm = this.#least ? Math.max(this.leastMm[sectorAt[place]], askedMm) : askedMm
    this.#follow(row, place, fromMm, Math.min(RANGE_MM, radiiMm[row] + mm))
  }

  /** Whether the node that lies nearest to a ray's end, outside of bone, was not scanned. */
  #endsInNoData(row: number, place: number, mm: number): boolean {
    if (mm + this.pose.field.stepMm * 2 < this.scannedMm[row]) return false
    const { starts, directions, field } = this.pose
    const at = 6 * place
    return field.endsInNoData(
      starts[3 * row] + mm * directions[at],
      starts[3 * row + 1] + mm * directions[at + 1],
      starts[3 * row + 2] + mm * directions[at + 2],
    )
  }

  #follow(row: number, place: number, fromMm: number, toMm: number): void {
    const { columns, columnAt, sectorAt, radiiMm } = this.pose.layout
    const n = row * columns + columnAt[place]
    const found = this.#trace.end(row, place, fromMm, toMm)
    if (found === RAY_CLEAR) {
      if (toMm === RANGE_MM) this.states[n] = RAY_NO_SURFACE
      return
    }
    this.states[n] =
      found === RAY_ENDS && this.#endsInNoData(row, place, this.#trace.foundMm) ? RAY_NO_DATA : found
    this.endMm[n] = this.#trace.foundMm
    if (this.states[n] !== RAY_ENDS) return
    const radialMm = this.endMm[n] - radiiMm[row]
    const sector = sectorAt[place]
    if (radialMm < this.leastMm[sector]) this.leastMm[sector] = radialMm
  }
}
