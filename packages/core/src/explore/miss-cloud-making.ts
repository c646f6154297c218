import { CAUTIONS } from '../assess/index.js'
import { fixtureProfile } from '../fixture/index.js'
import { along, angleDeg, distance, normalize, type Vec3 } from '../space/index.js'
import type { ExploredSite } from './explored-site.js'
import { isCounted } from './held-limit.js'
import type { MeasuredPose } from './limit-readings.js'
import { cautionsOf } from './miss-cloud-cautions.js'
import { isHeld, type WayMeter, wayMeter } from './miss-cloud-meter.js'
import type { CloudOf } from './miss-cloud-of.js'
import type { MissCloud } from './miss-cloud-result.js'
import { percentilesOf, sorted } from './miss-cloud-spread.js'
import { Tally } from './miss-cloud-tally.js'
import type { FixturePose } from './pose.js'

/** More axes in a picture hide one another. Own choice. */
const POSES_SHOWN = 120

/** A cloud while it is drawn. */
export class CloudInTheMaking {
  readonly meter: WayMeter
  /** Share of all draws that hold every limit that counts where the fixture stands as planned and the surface alone is shifted. */
  readonly allHoldStill: number
  readonly #site: ExploredSite
  readonly #of: CloudOf
  readonly #planned: MeasuredPose
  readonly #axis: Vec3
  readonly #lengthMm: number
  readonly #tally: Tally
  readonly #entryMm: Float64Array
  readonly #apexMm: Float64Array
  readonly #angleDeg: Float64Array
  readonly #shown: (FixturePose & { readonly holds: boolean })[] = []
  #count = 0

  /** @param shiftOf shift of the surface in a draw, mm */
  constructor(site: ExploredSite, of: CloudOf, shiftOf: (draw: number) => number) {
    this.#site = site
    this.#of = of
    this.meter = wayMeter(site, of.way, of.counted)
    this.#axis = normalize(site.plan.fixture.apical)
    this.#lengthMm = fixtureProfile(site.plan.fixture.shape).lengthMm
    this.#planned = this.meter.measure(site.plan.fixture)
    this.#tally = new Tally(site.plan.site.tooth, of.draws, of.counted, this.meter.readings(this.#planned, 0))
    this.#entryMm = new Float64Array(of.draws)
    this.#apexMm = new Float64Array(of.draws)
    this.#angleDeg = new Float64Array(of.draws)
    this.allHoldStill = this.#shareStill(
      Float64Array.from({ length: of.draws }, (_, draw) => shiftOf(draw)).sort(),
    )
  }

  /** A shift farther out never misses what a lesser one keeps: the least that keeps all limits is bisected. */
  #shareStill(risingMm: Float64Array): number {
    let [missed, kept] = [-1, risingMm.length]
    while (kept - missed > 1) {
      const middle = (kept + missed) >> 1
      const readings = this.meter.readings(this.#planned, risingMm[middle])
      if (readings.every((each) => !isCounted(this.#of.counted, each) || isHeld(each))) kept = middle
      else missed = middle
    }
    return 1 - kept / risingMm.length
  }

  /** @param pose with a unit vector for an axis */
  add(pose: FixturePose, shiftMm: number): void {
    const { platform } = this.#site.plan.fixture
    const draw = this.#count
    this.#tally.add(this.meter.readings(this.meter.measure(pose), shiftMm))
    this.#entryMm[draw] = distance(pose.platform, platform)
    this.#apexMm[draw] = distance(
      along(pose.platform, pose.apical, this.#lengthMm),
      along(platform, this.#axis, this.#lengthMm),
    )
    this.#angleDeg[draw] = angleDeg(pose.apical, this.#axis)
    if (draw < POSES_SHOWN) this.#shown.push({ ...pose, holds: this.#tally.holds(draw) })
    this.#count++
  }

  /** The cloud of the draws so far, its tolerable error not worked out. */
  cloud(): MissCloud {
    const spread = (values: Float64Array) => percentilesOf(sorted(values.subarray(0, this.#count)))
    return {
      schema: 'alveometer-miss-cloud',
      version: 1,
      tooth: this.#site.plan.site.tooth,
      ...this.#of,
      draws: this.#count,
      limits: this.#tally.limits(),
      allHold: this.#tally.allHold,
      missed: {
        entryMm: spread(this.#entryMm),
        apexMm: spread(this.#apexMm),
        angleDeg: spread(this.#angleDeg),
      },
      poses: [...this.#shown],
      tolerable: null,
      allHoldStill: this.allHoldStill,
      complete: false,
      cautions: [...cautionsOf(this.#of, this.#planned), ...CAUTIONS],
    }
  }
}
