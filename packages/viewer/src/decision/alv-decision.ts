import {
  DEFAULT_CHART_SPEC,
  type FixtureShape,
  guidedError,
  type MissCloud,
  type Plan,
  type TiltChart,
  type WayFound,
  type WaysOut,
} from '@alveometer/core'
import { html, LitElement, nothing, type PropertyValues, type TemplateResult } from 'lit'
import { property, state } from 'lit/decorators.js'
import type { Workbench } from '../chairside/workbench.js'
import type { ScanFacts } from '../engine/protocol.js'
import type { AlvEvents } from '../events.js'
import { panel, tokens } from '../sheet/index.js'
import { mm } from '../text/format.js'
import { standingOf } from '../ways-out/way-mark.js'
import { adoptedPlan, isAdopted } from './adopt.js'
import { Decision, type DecisionPart, type DecisionTable, PARTS } from './decision.js'
import { decisionStyle } from './decision-style.js'
import { poseIn } from './kept-chart.js'
import { shapesAround, sizeWords } from './shapes-around.js'

const names: Readonly<Record<DecisionPart, string>> = {
  chart: 'Tilt chart',
  ways: 'Ways out',
  cloud: 'Miss cloud',
}

/**
 * The decision of a plan: every tilt at once, the ways out, and where a placement may end up. Worked out while it is open
 * and the plan rests, the part looked at first. What is adopted or moved here is a step of the plan like any other.
 *
 * `data-state`: `ready` when everything belongs to the plan on the table, else `working`.
 *
 * @fires change what is shown is another.
 */
export class AlvDecision extends LitElement {
  static override styles = [tokens, panel, decisionStyle]

  @property({ attribute: false }) workbench: Workbench | null = null
  /** Closed, nothing is worked out. */
  @property({ type: Boolean, reflect: true }) open = false
  @state() private shown: DecisionPart = 'chart'
  readonly #decision = new Decision(
    () => this.#table(),
    () => this.#tell(),
    { spec: DEFAULT_CHART_SPEC, error: guidedError() },
  )
  #facts: ScanFacts | null = null
  #followed: Workbench | null = null

  /** The cloud that is looked at, to be drawn in the section too; null while none is, or it is of an earlier plan. */
  get cloud(): MissCloud | null {
    const shown = this.open && this.shown === 'cloud' && !this.#decision.stale('cloud')
    return shown ? this.#decision.cloud : null
  }

  get chart(): TiltChart | null {
    return this.#decision.chart
  }

  get ways(): WaysOut | null {
    return this.#decision.ways
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.#follow(null)
  }

  override willUpdate(changed: PropertyValues): void {
    if (changed.has('workbench')) this.#follow(this.workbench)
    this.#decision.part = this.open ? this.shown : null
    const done = this.#decision.busy === null && PARTS.every((part) => !this.#decision.stale(part))
    this.dataset.state = done ? 'ready' : 'working'
  }

  override updated(changed: PropertyValues): void {
    if (changed.has('workbench') || changed.has('open') || changed.has('shown')) this.#ask()
  }

  override render(): TemplateResult | typeof nothing {
    const { workbench } = this
    if (workbench === null || !this.open) return nothing
    const decision = this.#decision
    const off = (part: DecisionPart): string => (part === this.shown ? '' : 'off')
    const stale = (part: DecisionPart): boolean => decision.stale(part)
    const { plan } = workbench.session
    const { busy } = decision
    return html`<div class="tabs head">${PARTS.map(
      (part) =>
        html`<button aria-pressed=${part === this.shown} @click=${() => this.#show(part)}>${names[part]}</button>`,
    )}${this.#progress()}</div>
      <div class="part ${off('chart')}">${this.#trouble('chart')}
        <alv-tilt-chart ?stale=${stale('chart')} ?busy=${busy === 'chart'} .chart=${decision.chart}
          @alv-chart-pose=${this.#charted} @alv-chart-spec=${(e: AlvEvents['alv-chart-spec']) => this.#respec(e)}></alv-tilt-chart></div>
      <div class="part ${off('ways')}">${this.#trouble('ways')}
        <alv-ways-out ?stale=${stale('ways')} ?busy=${busy === 'ways'} .result=${decision.ways} .plan=${plan}
          .placed=${workbench.crowns.placed(plan)} .planes=${decision.planes} .images=${decision.pictures} .window=${workbench.window}
          .adopted=${this.#adopted(plan)}
          @alv-adopt-way=${this.#adopt} @alv-adopt-back=${this.#back}>${this.#sizes(plan.fixture.shape)}</alv-ways-out></div>
      <div class="part ${off('cloud')}">${this.#trouble('cloud')}
        <div class="beside">
        <alv-miss-cloud ?stale=${stale('cloud')} ?busy=${busy === 'cloud'} .cloud=${decision.cloud}
          @alv-placement-error=${this.#missed} @alv-limits-counted=${this.#count}></alv-miss-cloud>
        <figure><figcaption>Across the fixture, ${mm(workbench.collarDepthMm)} deep</figcaption>
          <alv-collar .plan=${plan} .assessment=${workbench.assessment} .image=${workbench.images.collar ?? null} .window=${workbench.window}
            .collarDepthMm=${workbench.collarDepthMm} .cloud=${this.cloud} ?moving=${workbench.session.moving}></alv-collar></figure>
        </div></div>`
  }

  #show(part: DecisionPart): void {
    this.shown = part
    this.#tell()
  }

  #progress(): TemplateResult | typeof nothing {
    const { busy, share } = this.#decision
    return busy === null
      ? nothing
      : html`<span class="counted">${names[busy].toLowerCase()} ${Math.round(100 * share)} %</span>`
  }

  #trouble(part: DecisionPart): TemplateResult | typeof nothing {
    const why = this.#decision.trouble[part]
    return why === '' ? nothing : html`<p class="below" role="alert">${why}</p>`
  }

  #sizes(shape: FixtureShape): TemplateResult {
    const { shapes } = this.#decision
    const choose = (next: readonly FixtureShape[] | null) => () => {
      this.#decision.shapes = next
      this.#tell()
    }
    return html`<div class="tabs"><button aria-pressed=${shapes === null} @click=${choose(null)}>this fixture</button><button
      aria-pressed=${shapes !== null} @click=${choose(shapesAround(shape))}>other sizes too</button>
      <span class="counted">${(shapes ?? [shape]).map(sizeWords).join(', ')} mm</span></div>`
  }

  #adopted(plan: Plan): string | null {
    return (
      this.#decision.ways?.ways.find((found) => standingOf(found) !== 'none' && isAdopted(plan, found))
        ?.way ?? null
    )
  }

  #table(): DecisionTable | null {
    const bench = this.workbench
    if (bench === null || bench.facts === null || bench.uncalibrated || bench.missing !== null) return null
    const { plan, moving } = bench.session
    return {
      engine: bench.engine,
      plan,
      placed: bench.crowns.placed(plan),
      resting: !moving && bench.state === 'ready' && bench.measurement.doing === '',
    }
  }

  #follow(bench: Workbench | null): void {
    this.#followed?.removeEventListener('change', this.#changed)
    this.#followed = bench
    bench?.addEventListener('change', this.#changed)
  }

  readonly #changed = (): void => {
    const facts = this.workbench?.facts ?? null
    if (facts !== this.#facts) {
      this.#facts = facts
      this.#decision.clear()
    }
    this.#ask()
    this.requestUpdate()
  }

  #ask(): void {
    if (this.isConnected) this.#decision.ask()
  }

  #tell(): void {
    this.requestUpdate()
    this.dispatchEvent(new Event('change'))
  }

  /** The fixture goes to a place of the chart; the chart stays, as its pivot does. */
  #charted({ detail }: AlvEvents['alv-chart-pose']): void {
    const { kept } = this.#decision
    const bench = this.workbench
    if (kept === null || bench === null) return
    const { plan } = bench.session
    const fixture = { ...plan.fixture, ...poseIn(kept, detail) }
    bench.move({ phase: detail.phase, plan: { ...plan, fixture } })
  }

  #respec({ detail }: AlvEvents['alv-chart-spec']): void {
    this.#decision.spec = detail
  }

  #adopt({ detail }: AlvEvents['alv-adopt-way']): void {
    const found: WayFound | undefined = this.#decision.ways?.ways.find(({ way }) => way === detail.way)
    const bench = this.workbench
    if (found === undefined || bench === null) return
    const now = bench.session.plan
    const { adopted } = this.#decision
    // From way to way the plan before the first of them is the one to go back to.
    const before = adopted?.plan === now ? adopted.before : now
    const plan = adoptedPlan(now, found)
    this.#decision.adopted = { before, plan }
    bench.move({ phase: 'step', plan })
  }

  /** The plan as it was before any way was adopted. */
  readonly #back = (): void => {
    const { adopted } = this.#decision
    if (adopted === null) return
    this.#decision.adopted = null
    this.workbench?.move({ phase: 'step', plan: adopted.before })
  }

  #count({ detail }: AlvEvents['alv-limits-counted']): void {
    this.#decision.counted = detail.counted
  }

  #missed({ detail }: AlvEvents['alv-placement-error']): void {
    this.#decision.error = detail
  }
}
