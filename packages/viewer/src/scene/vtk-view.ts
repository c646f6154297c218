/// <reference path="./vtk.d.ts" />
import type { GraftMeshes, Mat4, Mesh, Vec3 } from '@alveometer/core'
import '@kitware/vtk.js/Rendering/OpenGL/Profiles/Geometry.js'
import vtkPlane from '@kitware/vtk.js/Common/DataModel/Plane.js'
import vtkLight from '@kitware/vtk.js/Rendering/Core/Light.js'
import vtkRenderer from '@kitware/vtk.js/Rendering/Core/Renderer.js'
import vtkRenderWindow from '@kitware/vtk.js/Rendering/Core/RenderWindow.js'
import vtkOpenGLRenderWindow from '@kitware/vtk.js/Rendering/OpenGL/RenderWindow.js'
import { type Orbit, type PixelSize, viewAxes } from './orbit.js'
import { createBody, type Rgb } from './vtk-body.js'

export interface SceneColours {
  readonly paper: Rgb
  readonly bone: Rgb
  /** Faces laid open by the cut. */
  readonly section: Rgb
  readonly ink: Rgb
  readonly hand: Rgb
  readonly crown: Rgb
  readonly channel: Rgb
  /** As it is built, and what is expected to remain. */
  readonly graft: Rgb
  readonly graftKept: Rgb
}

/** A closed mesh and where it stands: its own coordinates to LPS. */
export interface Placed {
  readonly mesh: Mesh
  readonly pose: Mat4
}

/** A plane of which the side `normal` points to is kept. */
export interface Cut {
  readonly origin: Vec3
  readonly normal: Vec3
}

export interface SceneContent {
  readonly bone: Mesh | null
  readonly crown: Placed | null
  /** The channel's wall, LPS mm. */
  readonly channel: Mesh | null
  /** LPS mm. */
  readonly graft: GraftMeshes | null
  readonly fixture: (Placed & { readonly outline: Mesh }) | null
  readonly seeThrough: boolean
  readonly cut: Cut | null
  readonly colours: SceneColours
  readonly orbit: Orbit
}

/** One drawing surface with its own GL context. Nothing is drawn but on `draw`. */
export interface VtkView {
  /** Content is compared by identity: meshes are uploaded once. */
  draw(content: SceneContent): void
  resize(size: PixelSize, pixelRatio: number): void
  /** The last picture drawn again and copied, before the browser clears the drawing buffer. */
  picture(): HTMLCanvasElement | null
  readonly canvas: HTMLCanvasElement
  /** Frees everything, the GL context included. Calling it again does nothing. */
  dispose(): void
}

const UNMOVED: Mat4 = [1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1, 0, 0, 0, 0, 1]

/** A view inside `container`, or null where the browser gives no WebGL 2. */
export function createVtkView(container: HTMLElement): VtkView | null {
  const canvas = document.createElement('canvas')
  // The same options as vtk.js asks for: the context made here is the one it then gets.
  const options = {
    preserveDrawingBuffer: false,
    depth: true,
    alpha: true,
    powerPreference: 'high-performance',
  }
  const gl = canvas.getContext('webgl2', options) as WebGL2RenderingContext | null
  if (gl === null) return null

  const window = vtkRenderWindow.newInstance()
  const renderer = vtkRenderer.newInstance()
  const glWindow = vtkOpenGLRenderWindow.newInstance({ canvas, cursor: 'inherit' })
  window.addRenderer(renderer)
  window.addView(glWindow)
  glWindow.setContainer(container)
  light(renderer)
  const plane = vtkPlane.newInstance()
  const bone = createBody(renderer, plane)
  const fixture = createBody(renderer, plane)
  const kept = createBody(renderer, plane)
  const graft = createBody(renderer, plane)
  const crown = createBody(renderer, plane)
  const channel = createBody(renderer, plane)
  let drawn: SceneContent | null = null
  let disposed = false

  const draw = (content: SceneContent): void => {
    if (disposed) return
    drawn = content
    const { colours, cut, seeThrough } = content
    renderer.setBackground(...colours.paper)
    if (cut !== null) {
      plane.setOrigin(...cut.origin)
      plane.setNormal(...cut.normal)
    }
    const ink = { colour: colours.ink, section: colours.section }
    bone.show(content.bone, UNMOVED, {
      ...ink,
      fill: colours.bone,
      opacity: seeThrough ? 0.4 : 1,
      cut: cut !== null,
      outlineMm: seeThrough ? 0 : 0.07,
    })
    fixture.show(content.fixture?.mesh ?? null, content.fixture?.pose ?? UNMOVED, {
      ...ink,
      fill: colours.hand,
      opacity: 1,
      cut: false,
      outlineMm: 0.07,
      outline: content.fixture?.outline,
    })
    channel.show(content.channel, UNMOVED, {
      ...ink,
      fill: colours.channel,
      opacity: 1,
      cut: cut !== null,
      outlineMm: 0,
    })
    // What remains shows through what is built.
    kept.show(content.graft?.kept ?? null, UNMOVED, {
      ...ink,
      fill: colours.graftKept,
      section: colours.graftKept,
      opacity: 1,
      cut: cut !== null,
      outlineMm: 0.05,
    })
    graft.show(content.graft?.built ?? null, UNMOVED, {
      ...ink,
      fill: colours.graft,
      section: colours.graft,
      opacity: 0.4,
      cut: cut !== null,
      outlineMm: 0,
    })
    crown.show(content.crown?.mesh ?? null, content.crown?.pose ?? UNMOVED, {
      ...ink,
      fill: colours.crown,
      opacity: 0.45,
      cut: cut !== null,
      outlineMm: 0,
    })
    aim(renderer, content.orbit)
    window.render()
  }

  return {
    canvas,
    draw,
    resize({ width, height }, pixelRatio) {
      if (!disposed)
        glWindow.setSize(
          Math.max(1, Math.round(width * pixelRatio)),
          Math.max(1, Math.round(height * pixelRatio)),
        )
    },
    picture() {
      if (disposed || drawn === null) return null
      draw(drawn)
      const copy = document.createElement('canvas')
      copy.width = canvas.width
      copy.height = canvas.height
      copy.getContext('2d')?.drawImage(canvas, 0, 0)
      return copy
    },
    dispose() {
      if (disposed) return
      disposed = true
      for (const body of [bone, fixture, crown, channel, kept, graft]) body.dispose()
      glWindow.setContainer(null as unknown as HTMLElement)
      window.removeView(glWindow)
      window.removeRenderer(renderer)
      glWindow.delete()
      renderer.delete()
      window.delete()
      // Without this the context lives on until garbage collection, and browsers keep only about 16.
      gl.getExtension('WEBGL_lose_context')?.loseContext()
    },
  }
}

/** One light from the upper left, as shading in technical drawings has it, and a weak one from the viewer. */
function light(renderer: vtkRenderer): void {
  renderer.setAutomaticLightCreation(false)
  renderer.removeAllLights()
  for (const [position, intensity] of [
    [[-0.7, 0.9, 1], 0.75],
    [[0, 0, 1], 0.35],
  ] as const) {
    const lamp = vtkLight.newInstance()
    lamp.setLightTypeToCameraLight()
    lamp.setPosition(position[0], position[1], position[2])
    lamp.setFocalPoint(0, 0, 0)
    lamp.setIntensity(intensity)
    renderer.addLight(lamp)
  }
}

function aim(renderer: vtkRenderer, orbit: Orbit): void {
  const { up, toViewer } = viewAxes(orbit)
  const [x, y, z] = orbit.centre
  const camera = renderer.getActiveCamera()
  camera.setParallelProjection(true)
  camera.setFocalPoint(x, y, z)
  camera.setPosition(x + 200 * toViewer[0], y + 200 * toViewer[1], z + 200 * toViewer[2])
  camera.setViewUp(up[0], up[1], up[2])
  camera.setParallelScale(orbit.halfHeightMm)
  renderer.resetCameraClippingRange()
  renderer.updateLightsGeometryToFollowCamera()
}
