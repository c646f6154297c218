import { type HeldLimit, isCounted, type LimitsCounted } from './held-limit.js'
import { limitSide } from './limit-readings.js'
import { isHeld, isReserve } from './miss-cloud-meter.js'
import type { MissedLimit } from './miss-cloud-result.js'
import { countedHalfWidth, deviationOf, histogramOf, percentilesOf, sorted } from './miss-cloud-spread.js'

/** One limit over the draws; NaN where it could not be measured. */
interface LimitColumn {
  readonly reading: HeldLimit
  readonly values: Float64Array
  readonly reserves: Float64Array
}

/** Stand after every miss that was measured and has a side, and before what is held. */
const NEAREST = -2 * Number.MIN_VALUE
const UNMEASURED = -Number.MIN_VALUE

/** What became of the limits in each draw. */
export class Tally {
  readonly #columns: LimitColumn[] = []
  readonly #planned: ReadonlyMap<string, HeldLimit>
  readonly #held: Uint8Array
  readonly #tooth: string
  readonly #counted: LimitsCounted
  /** How many limits count. */
  #toHold = 0
  #count = 0

  /** @param planned readings of the plan itself */
  constructor(tooth: string, draws: number, counted: LimitsCounted, planned: readonly HeldLimit[]) {
    this.#counted = counted
    this.#tooth = tooth
    this.#held = new Uint8Array(draws)
    this.#planned = new Map(planned.map((reading) => [keyOf(reading), reading]))
    for (const [n, reading] of planned.entries()) this.#columnOf(reading, n)
  }

  add(readings: readonly HeldLimit[]): void {
    let held = 0
    for (let n = 0; n < readings.length; n++) {
      const reading = readings[n]
      const { values, reserves } = this.#columnOf(reading, n)
      values[this.#count] = reading.value ?? Number.NaN
      reserves[this.#count] = reading.reserve ?? Number.NaN
      if (isHeld(reading) && isCounted(this.#counted, reading)) held++
    }
    // A limit that was known before and is not now counts as missed.
    this.#held[this.#count] = held === this.#toHold ? 1 : 0
    this.#count++
  }

  holds(draw: number): boolean {
    return this.#held[draw] === 1
  }

  /** Share of the draws so far that hold every limit that counts. */
  get allHold(): { share: number; halfWidth: number } {
    const share = this.#held.subarray(0, this.#count).reduce((sum, held) => sum + held, 0) / this.#count
    return { share, halfWidth: countedHalfWidth(share, this.#count) }
  }

  /** Each limit, least likely to hold first. */
  limits(): MissedLimit[] {
    const firsts = this.#firsts()
    const missed = this.#count * (1 - this.allHold.share)
    return this.#columns
      .map((column, n) => this.#limitOf(column, missed === 0 ? 0 : firsts[n] / Math.round(missed)))
      .sort((a, b) => a.holds - b.holds)
  }

  /** @param place where it stands among its pose's readings: as a rule its column stands there too */
  #columnOf(reading: HeldLimit, place: number): LimitColumn {
    const isOf = (column: LimitColumn | undefined): column is LimitColumn =>
      column !== undefined && column.reading.code === reading.code && column.reading.where === reading.where
    const there = this.#columns[place]
    if (isOf(there)) return there
    const known = this.#columns.find(isOf)
    if (known !== undefined) return known
    const unknown = () => new Float64Array(this.#held.length).fill(Number.NaN)
    const column = { reading, values: unknown(), reserves: unknown() }
    this.#columns.push(column)
    if (isCounted(this.#counted, reading)) this.#toHold++
    return column
  }

  #limitOf({ reading, values, reserves }: LimitColumn, firstShare: number): MissedLimit {
    const { code, where, unit, limit } = reading
    const drawn = reserves.subarray(0, this.#count)
    const rising = sorted(values.subarray(0, this.#count))
    const holds = drawn.reduce((sum, reserve) => (isReserve(reserve) ? sum + 1 : sum), 0)
    const share = holds / this.#count
    return {
      code,
      where,
      unit,
      limit,
      side: limitSide(code, this.#tooth),
      counted: isCounted(this.#counted, reading),
      planned: this.#planned.get(keyOf(reading))?.value ?? null,
      holds: share,
      holdsHalfWidth: countedHalfWidth(share, this.#count),
      firstShare,
      percentiles: rising.length === 0 ? null : percentilesOf(rising),
      histogram: rising.length === 0 ? null : histogramOf(rising),
      unmeasured: this.#count - rising.length,
    }
  }

  /**
   * For each limit, how many draws miss it by most of its own spread. What could not be measured comes after all others; so
   * does `nearest`, which is missed wherever a sector is and does not say on which side.
   */
  #firsts(): number[] {
    const columns = this.#columns
    const deviations = columns.map(({ reserves }) => deviationOf(reserves.subarray(0, this.#count)))
    const firsts = columns.map(() => 0)
    for (let draw = 0; draw < this.#count; draw++) {
      if (this.holds(draw)) continue
      let [first, worst] = [-1, 0]
      for (const [n, { reading, reserves }] of columns.entries()) {
        if (!isCounted(this.#counted, reading)) continue
        const reserve = reserves[draw]
        const spreads = Number.isNaN(reserve)
          ? UNMEASURED
          : reading.where === 'nearest' && reserve < 0
            ? NEAREST
            : reserve / deviations[n]
        if (spreads < worst) [first, worst] = [n, spreads]
      }
      if (first >= 0) firsts[first]++
    }
    return firsts
  }
}

const keyOf = ({ code, where }: HeldLimit): string => `${code} ${where}`
