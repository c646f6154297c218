import {
  type AccessChannel,
  type AngledChannel,
  type ExitResult,
  type GraftMeshes,
  type Mesh,
  type Plan,
  transformPoint,
} from '@alveometer/core'
import { html, LitElement, type PropertyValues } from 'lit'
import { property, state } from 'lit/decorators.js'
import { tokens } from '../sheet/index.js'
import { accessLines, channelTube } from './access-shapes.js'
import { SceneGestures } from './gestures.js'
import { GraftInCut } from './graft-cut.js'
import { frame, lookFrom, type Orbit, type PixelSize, seenFrom, viewAxes } from './orbit.js'
import { type OverlayContent, overlay } from './overlay.js'
import {
  cutDirection,
  cutFor,
  firstDirection,
  outlineInCut,
  placeInScene,
  type ScenePlacement,
} from './placement.js'
import { COLOUR_PROBES, readColours } from './scene-colours.js'
import { sceneStyle } from './scene-style.js'
import { boxCorners, fixtureBody } from './solids.js'
import type { Placed, SceneColours, SceneContent, VtkView } from './vtk-view.js'

type Stage = 'loading' | 'ready' | 'no-webgl' | 'lost' | 'failed'

const MESSAGES: Readonly<Record<Exclude<Stage, 'ready'>, string>> = {
  loading: 'Preparing the 3D view.',
  'no-webgl': 'This browser draws no 3D graphics (WebGL 2 is missing). The section shows the same plan.',
  lost: 'The graphics card dropped the 3D view. Reset the view to draw it again.',
  failed: 'The 3D view could not be loaded. The section shows the same plan.',
}

/**
 * Bone, crown, fixture, graft and access channel in 3D, for orientation. Nothing is measured here.
 *
 * @fires alv-scene-cut - the user switched the cut on or off; detail: { cut: boolean }
 * @cssprop --alv-hand - the fixture and its axis
 * @cssprop --alv-scene-bone, --alv-scene-section, --alv-scene-crown, --alv-scene-channel - the other bodies
 * @cssprop --alv-scene-graft, --alv-scene-graft-kept - the graft as built and what is expected to remain
 */
export class AlvScene extends LitElement {
  static override styles = [tokens, sceneStyle]

  /** The bone surface, LPS mm: see boneSurface. */
  @property({ attribute: false }) bone: Mesh | null = null
  /** The crown in its own coordinates and the matrix (core's column order) that takes them to LPS. */
  @property({ attribute: false }) crown: Placed | null = null
  @property({ attribute: false }) plan: Plan | null = null
  @property({ attribute: false }) exit: ExitResult | null = null
  /** The straight channel: a tube of its real diameter in the crown, and its opening. Of the same assessment as `exit`. */
  @property({ attribute: false }) channel: AccessChannel | null = null
  /** What a bent channel reaches, and the least bent one that leaves as wanted. */
  @property({ attribute: false }) angled: AngledChannel | null = null
  /** The graft as built, see-through, and in it what is expected to remain; LPS mm. */
  @property({ attribute: false }) graft: GraftMeshes | null = null
  @property({ reflect: true }) sheet: 'paper' | 'night' = 'paper'
  /** Takes away the half in front of the plane of the fixture axis and the facial direction. */
  @property({ type: Boolean, reflect: true }) cut = false
  /** Bone half transparent. */
  @property({ type: Boolean, reflect: true, attribute: 'see-through' }) seeThrough = false

  @state() private stage: Stage = 'loading'
  @state() private orbit: Orbit = { yawDeg: 0, pitchDeg: 0, centre: [0, 0, 0], halfHeightMm: 20 }
  @state() private size: PixelSize = { width: 1, height: 1 }

  private view: VtkView | null = null
  private moved = false
  private subject = ''
  /** False: the view is to be fitted again, as nothing has been moved since the size changed. */
  private framed = false
  private frameRequest = 0
  private shapeKey = ''
  private placement: ScenePlacement | null = null
  private fixture: SceneContent['fixture'] = null
  private tube: Mesh | null = null
  private colours: SceneColours | null = null
  private readonly graftCut = new GraftInCut()
  private readonly resizes = new ResizeObserver(() => this.measure())
  private readonly gestures = new SceneGestures(this, {
    getOrbit: () => this.orbit,
    setOrbit: (orbit) => {
      this.moved = true
      this.orbit = orbit
    },
    getSize: () => this.size,
    reset: () => this.resetView(),
  })

  override connectedCallback(): void {
    super.connectedCallback()
    this.resizes.observe(this)
    void this.open()
  }

  override disconnectedCallback(): void {
    super.disconnectedCallback()
    this.resizes.disconnect()
    cancelAnimationFrame(this.frameRequest)
    this.close()
  }

  /** Back to the first view: from facial, a little from the crown's end; from the side of the cut when it is on. */
  resetView(): void {
    this.moved = false
    if (this.stage === 'lost') void this.open()
    if (this.plan === null) return
    let orbit = lookFrom(this.orbit, firstDirection(this.plan))
    if (this.cut && this.placement !== null)
      orbit = lookFrom(orbit, cutDirection(this.plan, this.placement, viewAxes(orbit).toViewer))
    this.orbit = frame(orbit, this.size, this.extent())
  }

  /** The bodies as drawn now, without the lines over them; null before the first picture. For reports. */
  picture(): HTMLCanvasElement | null {
    this.draw()
    return this.view?.picture() ?? null
  }

  override render() {
    const ready = this.stage === 'ready'
    const seen = seenFrom(this.orbit)
    return html`
      <div class="tools" role="toolbar" aria-label="3D view">
        <button type="button" aria-pressed=${this.cut} ?disabled=${!ready} @click=${this.toggleCut}>
          Cut
        </button>
        <button type="button" aria-pressed=${this.seeThrough} ?disabled=${!ready} @click=${this.toggleSeeThrough}>
          See through
        </button>
        <button type="button" @click=${() => this.resetView()}>Reset view</button>
      </div>
      <div
        class="view"
        part="view"
        tabindex="0"
        role="application"
        aria-roledescription="3D view"
        aria-label=${`Bone, crown, fixture${this.graft === null ? '' : ', graft'} and access channel in 3D, seen from ${seen}. Arrow keys turn, plus and minus zoom, Home resets.`}
        aria-describedby="caption"
        @pointerdown=${this.gestures.down}
        @pointermove=${this.gestures.move}
        @pointerup=${this.gestures.up}
        @pointercancel=${this.gestures.up}
        @wheel=${this.gestures.wheel}
        @keydown=${this.gestures.key}
        @contextmenu=${this.gestures.menu}
      >
        <div class="gl"></div>
        ${
          this.stage === 'ready'
            ? html`<svg aria-hidden="true" viewBox=${`0 0 ${this.size.width} ${this.size.height}`}>
                ${overlay(this.orbit, this.size, this.lines())}
              </svg>`
            : html`<p class="message" role="status">${MESSAGES[this.stage]}</p>`
        }
      </div>
      <p class="caption" id="caption">Surface for orientation only; measure in the section.${
        this.graft === null ? '' : ' Graft: see-through as built, solid what is expected to remain.'
      }</p>
      ${COLOUR_PROBES.map((name) => html`<span class=${`probe ${name}`} hidden></span>`)}
    `
  }

  protected override willUpdate(changed: PropertyValues<this>): void {
    if (changed.has('plan') || changed.has('exit')) this.place()
    if (changed.has('channel') || changed.has('exit')) this.tube = channelTube(this.exit, this.channel)
    if (this.stage !== 'ready' || this.plan === null) return
    const { site, scan } = this.plan
    const subject = `${site.tooth} ${site.facial} ${site.coronal} ${scan.seriesUid}`
    const another = subject !== this.subject
    const arrived = changed.has('bone') || changed.has('crown') || !this.framed
    // A view the user has turned stays, unless it shows another site or the cut asks for its own side.
    if (another || changed.has('cut') || (arrived && !this.moved)) this.resetView()
    this.subject = subject
    this.framed = true
  }

  protected override updated(changed: PropertyValues<this>): void {
    if (changed.has('sheet')) this.colours = null
    cancelAnimationFrame(this.frameRequest)
    this.frameRequest = requestAnimationFrame(() => this.draw())
  }

  private readonly toggleCut = (): void => {
    this.cut = !this.cut
    this.dispatchEvent(
      new CustomEvent('alv-scene-cut', { bubbles: true, composed: true, detail: { cut: this.cut } }),
    )
  }

  private readonly toggleSeeThrough = (): void => {
    this.seeThrough = !this.seeThrough
  }

  private lines(): OverlayContent {
    const { placement, crown } = this
    const exitWord = this.exit?.class ? `access exit, ${this.exit.class}` : 'access exit'
    const crownOutline =
      this.cut && placement !== null && crown !== null ? outlineInCut(crown, placement) : []
    const graft =
      this.cut && placement !== null && this.graft !== null ? this.graftCut.of(this.graft, placement) : null
    return { placement, exitWord, access: accessLines(this.channel, this.angled), crownOutline, graft }
  }

  /** Lines and bodies of the plan. A plan whose fixture cannot be drawn leaves the bone and crown to see. */
  private place(): void {
    this.placement = null
    const shape = this.plan?.fixture.shape
    if (this.plan === null || shape === undefined) {
      this.fixture = null
      return
    }
    try {
      this.placement = placeInScene(this.plan, this.exit)
      const pose = this.placement.fixturePose
      const key = JSON.stringify(shape)
      // The same shape keeps its meshes, so a dragged fixture uploads nothing but its pose.
      this.fixture =
        this.fixture !== null && key === this.shapeKey
          ? { ...this.fixture, pose }
          : { mesh: fixtureBody(shape, true), outline: fixtureBody(shape, false), pose }
      this.shapeKey = key
    } catch (error) {
      if (!(error instanceof RangeError)) throw error
      this.fixture = null
    }
  }

  private extent(): [number, number, number][] {
    const placed = [this.crown, this.fixture].flatMap((body) =>
      body === null ? [] : boxCorners(body.mesh).map((p) => transformPoint(body.pose, p)),
    )
    return [...(this.bone === null ? [] : boxCorners(this.bone)), ...placed]
  }

  private async open(): Promise<void> {
    this.close()
    this.stage = 'loading'
    try {
      const { createVtkView } = await import('./vtk-view.js')
      await this.updateComplete
      const holder = this.renderRoot.querySelector<HTMLElement>('.gl')
      if (!this.isConnected || this.view !== null || holder === null) return
      this.view = createVtkView(holder)
      this.view?.canvas.addEventListener('webglcontextlost', this.lost)
      this.stage = this.view === null ? 'no-webgl' : 'ready'
      this.measure()
    } catch {
      this.stage = 'failed'
    }
  }

  private close(): void {
    this.view?.canvas.removeEventListener('webglcontextlost', this.lost)
    this.view?.dispose()
    this.view = null
  }

  private readonly lost = (): void => {
    this.close()
    this.stage = 'lost'
  }

  private measure(): void {
    const box = this.renderRoot.querySelector('.view')?.getBoundingClientRect()
    if (box === undefined || box.width < 1 || box.height < 1) return
    this.view?.resize(box, Math.min(2, devicePixelRatio))
    this.size = { width: box.width, height: box.height }
    this.framed = false
  }

  private draw(): void {
    if (this.view === null || this.stage !== 'ready') return
    this.colours ??= readColours(this.renderRoot as ShadowRoot)
    const cut =
      this.cut && this.placement !== null ? cutFor(this.placement, viewAxes(this.orbit).toViewer) : null
    const { bone, crown, tube: channel, fixture, graft, seeThrough, colours, orbit } = this
    this.view.draw({ bone, crown, channel, fixture, graft, seeThrough, cut, colours, orbit })
  }
}

declare global {
  interface HTMLElementTagNameMap {
    'alv-scene': AlvScene
  }
}
