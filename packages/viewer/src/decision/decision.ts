import type {
  FixtureShape,
  LimitsCounted,
  MissCloud,
  PlacedCrown,
  PlacementError,
  Plan,
  TiltChart,
  TiltChartSpec,
  WaysOut,
} from '@alveometer/core'
import type { GreyImage } from '../drawing/grey.js'
import type { Engine } from '../engine/engine.js'
import { groundOf, type KeptChart, placeIn } from './kept-chart.js'
import { type WayPlanes, wayPlanes } from './way-planes.js'

/** What of the decision is looked at. */
export type DecisionPart = 'chart' | 'ways' | 'cloud'

/** What the decision is made on. */
export interface DecisionTable {
  readonly engine: Pick<Engine, 'chart' | 'ways' | 'cloud' | 'pictures'>
  readonly plan: Plan
  readonly placed: PlacedCrown | null
  /** The plan rests, and its own numbers are as good as they will be. */
  readonly resting: boolean
}

/** A way out that was adopted, and the plan that was there before. */
export interface Adopted {
  readonly before: Plan
  readonly plan: Plan
}

export const PARTS: readonly DecisionPart[] = ['chart', 'ways', 'cloud']

interface Running {
  readonly part: DecisionPart
  readonly key: string
  readonly stop: AbortController
}

/**
 * Tilt chart, ways out and miss cloud of the plan on the table: one is worked out at a time, the one looked at first.
 * Results stay until better ones come; `stale` tells which belong to an earlier plan.
 */
export class Decision {
  /** The part looked at; null while none is, then nothing is worked out. */
  part: DecisionPart | null = null
  ways: WaysOut | null = null
  /** Grey pictures of the ways, by way, `present` the plan's own. */
  pictures: Readonly<Record<string, GreyImage>> = {}
  planes: WayPlanes = {}
  cloud: MissCloud | null = null
  adopted: Adopted | null = null
  /** Why a part could not be worked out. */
  readonly trouble: Record<DecisionPart, string> = { chart: '', ways: '', cloud: '' }
  /** Done of what is being worked out, 0 to 1. */
  share = 0
  #spec: TiltChartSpec
  #error: PlacementError
  #counted: LimitsCounted = 'all'
  #shapes: readonly FixtureShape[] | null = null
  #kept: KeptChart | null = null
  #running: Running | null = null
  /** Of what each part was worked out to its end, or failed; and of what its shown result is. */
  readonly #made: Record<DecisionPart, string> = { chart: '', ways: '', cloud: '' }
  readonly #shown: Record<DecisionPart, string> = { chart: '', ways: '', cloud: '' }
  readonly #table: () => DecisionTable | null
  readonly #changed: () => void

  /** @param table null while there is nothing to decide on. @param changed called when anything to be shown is another. */
  constructor(
    table: () => DecisionTable | null,
    changed: () => void,
    { spec, error }: { readonly spec: TiltChartSpec; readonly error: PlacementError },
  ) {
    this.#table = table
    this.#changed = changed
    this.#spec = spec
    this.#error = error
  }

  get spec(): TiltChartSpec {
    return this.#spec
  }

  set spec(spec: TiltChartSpec) {
    this.#spec = spec
    this.ask()
  }

  get error(): PlacementError {
    return this.#error
  }

  set error(error: PlacementError) {
    this.#error = error
    this.ask()
  }

  get counted(): LimitsCounted {
    return this.#counted
  }

  set counted(counted: LimitsCounted) {
    this.#counted = counted
    this.ask()
  }

  /** Sizes that the ways may place; null: the plan's own alone. */
  get shapes(): readonly FixtureShape[] | null {
    return this.#shapes
  }

  set shapes(shapes: readonly FixtureShape[] | null) {
    this.#shapes = shapes
    this.ask()
  }

  /** The chart as kept, to move the fixture in; null before there is one. */
  get kept(): KeptChart | null {
    return this.#kept
  }

  /** The chart with the present plan marked in it, as far as it lies in one of its places. */
  get chart(): TiltChart | null {
    const kept = this.#kept
    const table = this.#table()
    if (kept === null || table === null) return kept?.chart ?? null
    return { ...kept.chart, present: placeIn(kept, table.plan) ?? kept.chart.present }
  }

  get busy(): DecisionPart | null {
    return this.#running?.part ?? null
  }

  /** Whether what is shown of a part belongs to an earlier plan or question. */
  stale(part: DecisionPart): boolean {
    const table = this.#table()
    return table !== null && this.#shown[part] !== this.#wanted(part, table)
  }

  /** Nothing is known of the scan on the table. */
  clear(): void {
    this.#stop()
    this.#kept = null
    this.ways = null
    this.cloud = null
    this.adopted = null
    this.pictures = {}
    this.planes = {}
    for (const part of PARTS) {
      this.#made[part] = ''
      this.#shown[part] = ''
      this.trouble[part] = ''
    }
  }

  /** Works out what is missing. To be called whenever something is another. */
  ask(): void {
    const table = this.#table()
    const running = this.#running
    if (table === null || this.part === null) {
      this.#stop()
      return
    }
    if (running !== null && this.#wanted(running.part, table) !== running.key) this.#stop()
    if (this.#running !== null || !table.resting) return
    const order = [this.part, ...PARTS.filter((part) => part !== this.part)]
    const part = order.find((each) => this.#made[each] !== this.#wanted(each, table))
    if (part !== undefined) void this.#workOut(part, table)
  }

  #wanted(part: DecisionPart, { plan }: DecisionTable): string {
    switch (part) {
      case 'chart': {
        const kept = this.#kept
        const good = kept !== null && kept.chart.coarseness === 1 && placeIn(kept, plan) !== null
        const spec = JSON.stringify(this.#spec)
        return good && JSON.stringify(kept.chart.spec) === spec
          ? this.#made.chart
          : `${JSON.stringify(plan)} ${spec}`
      }
      case 'ways':
        return `${groundOf(plan)} ${JSON.stringify(this.#shapes ?? [plan.fixture.shape])}`
      case 'cloud':
        return `${JSON.stringify(plan)} ${JSON.stringify(this.#error)} ${this.#counted}`
    }
  }

  async #workOut(part: DecisionPart, table: DecisionTable): Promise<void> {
    const running = { part, key: this.#wanted(part, table), stop: new AbortController() }
    this.#running = running
    this.share = 0
    this.trouble[part] = ''
    this.#changed()
    const still = () => this.#running === running
    const task = {
      signal: running.stop.signal,
      onProgress: ({ done }: { readonly done: number }) => {
        if (!still()) return
        this.share = done
        this.#changed()
      },
    }
    const shown = (take: () => void): void => {
      if (!still()) return
      take()
      this.#shown[part] = running.key
      this.#changed()
    }
    try {
      await this.#ask(part, table, task, shown)
    } catch (error) {
      if (!still()) return
      this.trouble[part] = error instanceof Error ? error.message : String(error)
    }
    if (!still()) return
    this.#made[part] = running.key
    this.#running = null
    this.#changed()
    this.ask()
  }

  async #ask(
    part: DecisionPart,
    { engine, plan, placed }: DecisionTable,
    task: {
      readonly signal: AbortSignal
      readonly onProgress: (progress: { readonly done: number }) => void
    },
    shown: (take: () => void) => void,
  ): Promise<void> {
    switch (part) {
      case 'chart': {
        if (placed === null) return
        const take = (chart: TiltChart) => shown(() => (this.#kept = { chart, plan, crown: placed }))
        take(await engine.chart({ plan, spec: this.#spec }, { ...task, onPart: take }))
        return
      }
      case 'ways': {
        const shapes = this.#shapes ?? [plan.fixture.shape]
        const take = (ways: WaysOut) => shown(() => (this.ways = ways))
        const ways = await engine.ways({ plan, shapes }, { ...task, onPart: take })
        take(ways)
        const planes = wayPlanes(plan, ways)
        const pictures = await engine.pictures(planes)
        shown(() => {
          this.planes = planes
          this.pictures = pictures
        })
        return
      }
      case 'cloud': {
        const take = (cloud: MissCloud) => shown(() => (this.cloud = cloud))
        take(
          await engine.cloud({ plan, error: this.#error, counted: this.#counted }, { ...task, onPart: take }),
        )
      }
    }
  }

  #stop(): void {
    this.#running?.stop.abort()
    this.#running = null
  }
}
