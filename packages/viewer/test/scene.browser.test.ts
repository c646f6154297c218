import { accessChannel, accessExit, angledChannel, type Mesh, type Plan, placedCrown } from '@alveometer/core'
import { afterEach, describe, expect, it, vi } from 'vitest'
import { type AlvScene, defineScene } from '../src/scene/index.js'
import { fixtureBody } from '../src/scene/solids.js'

defineScene()

const PLAN: Plan = {
  schema: 'alveometer-plan',
  version: 1,
  scan: { seriesUid: '1.2', frameOfReferenceUid: '1.3' },
  site: { tooth: '11', facial: [0, -1, 0], coronal: [0, 0, -1] },
  crown: { kind: 'tabulated', tooth: '11', pose: [0, 1, 0, 0, -1, 0, 0, -80, 0, 0, 1, 30, 0, 0, 0, 1] },
  fixture: {
    shape: { kind: 'cylinder', diameterMm: 4, lengthMm: 10 },
    platform: [0, -80, 34],
    apical: [0, 0, 1],
  },
  structures: [],
  limits: {},
}

/** A block of bone round the fixture: a thick drum, standing free of it on the patient's left by 3 mm more. */
function drum(): Mesh {
  const { positions, triangles } = fixtureBody({ kind: 'cylinder', diameterMm: 16, lengthMm: 12 }, false)
  const moved = positions.map((x, n) => x + ([3, -80, 33][n % 3] as number))
  return { positions: moved, triangles }
}

async function until(check: () => boolean): Promise<void> {
  await vi.waitFor(
    () => {
      if (!check()) throw new Error('still waiting')
    },
    { timeout: 20_000, interval: 30 },
  )
}

async function mounted(): Promise<AlvScene> {
  const scene = document.createElement('alv-scene')
  Object.assign(scene, { bone: drum(), plan: PLAN })
  // Colours that tell the bodies apart.
  scene.style.setProperty('--alv-hand', 'rgb(0 0 255)')
  scene.style.setProperty('--alv-scene-bone', 'rgb(255 160 80)')
  scene.style.width = '300px'
  scene.style.height = '300px'
  document.body.append(scene)
  await until(() => scene.shadowRoot?.querySelector('svg') !== null)
  await scene.updateComplete
  return scene
}

interface Seen {
  readonly share: number
  /** Middle of the pixels of a kind, 0 to 1 from the top left corner. */
  readonly x: number
  readonly y: number
}

function seen(scene: AlvScene, kind: (r: number, g: number, b: number) => boolean): Seen {
  const canvas = scene.picture()
  const context = canvas?.getContext('2d')
  if (canvas === null || !context) throw new Error('nothing drawn')
  const { data } = context.getImageData(0, 0, canvas.width, canvas.height)
  let [count, x, y] = [0, 0, 0]
  for (let at = 0; at < data.length; at += 4) {
    if (!kind(data[at] as number, data[at + 1] as number, data[at + 2] as number)) continue
    count++
    x += (at / 4) % canvas.width
    y += Math.floor(at / 4 / canvas.width)
  }
  return {
    share: count / (data.length / 4),
    x: x / count / canvas.width,
    y: y / count / canvas.height,
  }
}

const blue = (r: number, g: number, b: number) => b > 60 && b > 2 * r && b > 2 * g
const orange = (r: number, _g: number, b: number) => r > 60 && r > 1.6 * b

afterEach(() => document.body.replaceChildren())

describe('<alv-scene>', () => {
  it('draws bone and, with the bone cut open, the fixture', async () => {
    const scene = await mounted()
    expect(seen(scene, orange).share).toBeGreaterThan(0.15)
    expect(seen(scene, blue).share).toBeLessThan(0.002)
    scene.cut = true
    await scene.updateComplete
    expect(seen(scene, blue).share).toBeGreaterThan(0.03)
    scene.cut = false
    scene.seeThrough = true
    await scene.updateComplete
    expect(seen(scene, (r, g, b) => b > r && b > g).share).toBeGreaterThan(0.02)
  })

  it('shows from the front what lies to the patient’s left on the right, and superior up', async () => {
    const scene = await mounted()
    scene.bone = null
    const side = fixtureBody({ kind: 'cylinder', diameterMm: 3, lengthMm: 3 }, false)
    // Left (+x) and superior (+z) of the fixture; drawn by its pose alone, column by column.
    scene.crown = { mesh: side, pose: [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 8, -80, 46, 1] }
    scene.style.setProperty('--alv-scene-crown', 'rgb(255 0 0)')
    scene.sheet = 'night'
    await scene.updateComplete
    const marker = seen(scene, (r, g, b) => r > 1.6 * g && r > 1.6 * b && r > 60)
    const fixture = seen(scene, blue)
    expect(marker.share).toBeGreaterThan(0.005)
    expect(marker.x).toBeGreaterThan(fixture.x + 0.1)
    expect(marker.y).toBeLessThan(fixture.y - 0.1)
  })

  it('turns, zooms and resets by keys, and says from where it is seen', async () => {
    const scene = await mounted()
    const view = scene.shadowRoot?.querySelector<HTMLElement>('.view')
    const said = () => view?.getAttribute('aria-label') ?? ''
    const press = async (key: string, times: number) => {
      for (let n = 0; n < times; n++)
        view?.dispatchEvent(new KeyboardEvent('keydown', { key, cancelable: true }))
      await scene.updateComplete
    }
    expect(said()).toContain('seen from anterior, inferior')
    await press('ArrowLeft', 18)
    expect(said()).toContain('seen from left')
    await press('Home', 1)
    expect(said()).toContain('seen from anterior, inferior')
    const before = seen(scene, orange).share
    await press('-', 4)
    expect(seen(scene, orange).share).toBeLessThan(before * 0.6)
  })

  it('draws the channel in the see-through crown, its opening, its reach and its bend', async () => {
    const scene = await mounted()
    scene.bone = null
    const { fixture, site } = PLAN
    const placed = placedCrown(PLAN, undefined)
    const question = { ...placed, fixture: { ...fixture, platform: [0, -81, 34] as const }, site }
    const exit = accessExit(question)
    const channel = accessChannel(question)
    scene.style.setProperty('--alv-scene-channel', 'rgb(255 0 0)')
    scene.crown = { mesh: placed.crown.mesh, pose: placed.pose }
    scene.sheet = 'night'
    await scene.updateComplete
    const red = (r: number, g: number, b: number) => r > 40 && r > 1.3 * g && r > 1.3 * b
    expect(seen(scene, red).share).toBe(0)
    Object.assign(scene, { exit, channel, angled: angledChannel(question) })
    await scene.updateComplete
    const tube = seen(scene, red)
    expect(tube.share).toBeGreaterThan(0.003)
    const lines = (kind: string) => scene.shadowRoot?.querySelectorAll(`svg .${kind}`).length
    expect([lines('exit'), lines('reach'), lines('bend')]).toEqual([1, 1, 1])
    const rim = scene.shadowRoot?.querySelector('svg .exit')?.getAttribute('points') ?? ''
    expect(rim.split(' ').length).toBe(channel.outline?.length)
  })

  it('draws the graft as built see-through, and solid in it what is expected to remain', async () => {
    const scene = await mounted()
    scene.bone = null
    scene.style.setProperty('--alv-scene-graft', 'rgb(255 0 0)')
    scene.style.setProperty('--alv-scene-graft-kept', 'rgb(0 255 0)')
    scene.sheet = 'night'
    await scene.updateComplete
    const red = (r: number, g: number, b: number) => r > 40 && r > 1.5 * g && r > 1.5 * b
    const green = (r: number, g: number, b: number) => g > 40 && g > 1.2 * r && g > 1.5 * b
    expect([seen(scene, red).share, seen(scene, green).share]).toEqual([0, 0])
    const ball = (size: number): Mesh => {
      const { positions, triangles } = fixtureBody(
        { kind: 'cylinder', diameterMm: size, lengthMm: size },
        false,
      )
      // Beside the fixture, the two about the same centre.
      const centre = [6, -80, 39 - size / 2]
      return { positions: positions.map((x, n) => x + (centre[n % 3] as number)), triangles }
    }
    scene.graft = { built: ball(5), kept: ball(3) }
    await scene.updateComplete
    const built = seen(scene, red)
    const kept = seen(scene, green)
    expect(built.share).toBeGreaterThan(0.005)
    // A see-through body of 5 mm with a like one of 3 mm in it: 9/25 of what is seen.
    const share = kept.share / (built.share + kept.share)
    expect(share).toBeGreaterThan(0.36 - 0.08)
    expect(share).toBeLessThan(0.36 + 0.08)
    expect(scene.shadowRoot?.querySelector('.caption')?.textContent).toContain('expected to remain')
    // Cut through the axis it shows its section: two closed lines, as the two bodies stand across the plane.
    const sections = () => scene.shadowRoot?.querySelectorAll('svg .graft-section').length
    expect(sections()).toBe(0)
    scene.cut = true
    await scene.updateComplete
    expect(sections()).toBe(2)
    scene.graft = null
    await scene.updateComplete
    expect(sections()).toBe(0)
    expect([seen(scene, red).share, seen(scene, green).share]).toEqual([0, 0])
  })

  it('frees its canvas and context when taken out, twenty times over', async () => {
    const errors = vi.spyOn(console, 'error')
    const warnings = vi.spyOn(console, 'warn')
    const scene = await mounted()
    for (let n = 0; n < 20; n++) {
      const gl = scene.shadowRoot?.querySelector('canvas')?.getContext('webgl2')
      scene.remove()
      expect(scene.shadowRoot?.querySelector('canvas')).toBeNull()
      expect(gl?.isContextLost()).toBe(true)
      document.body.append(scene)
      await until(() => scene.shadowRoot?.querySelector('canvas') !== null)
      await scene.updateComplete
    }
    expect(seen(scene, orange).share).toBeGreaterThan(0.15)
    expect(errors).not.toHaveBeenCalled()
    expect(warnings.mock.calls.flat().filter((text) => /WebGL|context/i.test(String(text)))).toEqual([])
    vi.restoreAllMocks()
  })

  it('survives being taken out while it still loads', async () => {
    const scene = document.createElement('alv-scene')
    document.body.append(scene)
    scene.remove()
    document.body.append(scene)
    await until(() => scene.shadowRoot?.querySelectorAll('canvas').length === 1)
  })

  it('says so in a sentence where there is no WebGL, and throws nothing', async () => {
    const original = HTMLCanvasElement.prototype.getContext as (
      this: HTMLCanvasElement,
      kind: string,
    ) => unknown
    const missing = vi.spyOn(HTMLCanvasElement.prototype, 'getContext')
    missing.mockImplementation(function (this: HTMLCanvasElement, kind: string) {
      return (kind === 'webgl2' ? null : original.call(this, kind)) as null
    })
    const scene = document.createElement('alv-scene')
    Object.assign(scene, { bone: drum(), plan: PLAN })
    document.body.append(scene)
    await until(() =>
      /WebGL 2 is missing/.test(scene.shadowRoot?.querySelector('.message')?.textContent ?? ''),
    )
    expect(scene.picture()).toBeNull()
    missing.mockRestore()
  })

  it('keeps bone and crown when the fixture cannot be drawn', async () => {
    const scene = await mounted()
    scene.plan = { ...PLAN, fixture: { ...PLAN.fixture, apical: [0, -1, 0] } }
    await scene.updateComplete
    expect(seen(scene, orange).share).toBeGreaterThan(0.1)
  })

  it('may be defined again', () => {
    expect(() => defineScene()).not.toThrow()
  })
})
