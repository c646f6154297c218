import type { Mat4, Mesh } from '@alveometer/core'
import vtkDataArray from '@kitware/vtk.js/Common/Core/DataArray.js'
import type vtkPlane from '@kitware/vtk.js/Common/DataModel/Plane.js'
import vtkPolyData from '@kitware/vtk.js/Common/DataModel/PolyData.js'
import vtkActor from '@kitware/vtk.js/Rendering/Core/Actor.js'
import vtkMapper from '@kitware/vtk.js/Rendering/Core/Mapper.js'
import vtkProperty from '@kitware/vtk.js/Rendering/Core/Property.js'
import type vtkRenderer from '@kitware/vtk.js/Rendering/Core/Renderer.js'
import { inflated, vertexNormals } from './solids.js'

/** Red, green, blue, 0 to 1. */
export type Rgb = readonly [number, number, number]

export interface BodyLook {
  readonly fill: Rgb
  /** Flat colour of the inside, seen where a cut lays it open. */
  readonly section: Rgb
  readonly colour: Rgb
  readonly opacity: number
  readonly cut: boolean
  /** Width of the drawn outline; 0 for none. */
  readonly outlineMm: number
  /** The mesh the outline is made from where the body's own has split edges. */
  readonly outline?: Mesh | undefined
}

export interface Body {
  show(mesh: Mesh | null, pose: Mat4, look: BodyLook): void
  dispose(): void
}

/** A matt body with a drawn outline: the mesh itself, and behind it the same mesh a little larger, back faces in ink. */
export function createBody(renderer: vtkRenderer, plane: vtkPlane): Body {
  const fill = part(renderer)
  const outline = part(renderer)
  const inside = vtkProperty.newInstance()
  fill.actor.setBackfaceProperty(inside)
  outline.actor.getProperty().setFrontfaceCulling(true)
  matt(fill.actor.getProperty())
  flat(inside)
  // vtk.js multiplies the ambient light of back faces by that of the front.
  inside.setAmbient(1 / AMBIENT)
  flat(outline.actor.getProperty())
  let shown: Mesh | null = null
  let outlined: Mesh | null = null

  return {
    show(mesh, pose, look) {
      const visible = mesh !== null && mesh.triangles.length > 0
      fill.actor.setVisibility(visible)
      outline.actor.setVisibility(visible && look.outlineMm > 0)
      if (!visible) return
      if (mesh !== shown) {
        shown = mesh
        fill.set(mesh, vertexNormals(mesh))
      }
      const source = look.outline ?? mesh
      if (look.outlineMm > 0 && source !== outlined) {
        outlined = source
        const normals = vertexNormals(source)
        outline.set(inflated(source, normals, look.outlineMm), normals)
      }
      for (const { actor, clip } of [fill, outline]) {
        actor.setUserMatrix(pose as unknown as Parameters<typeof actor.setUserMatrix>[0])
        clip(look.cut ? plane : null)
      }
      const property = fill.actor.getProperty()
      property.setColor(...look.fill)
      property.setOpacity(look.opacity)
      // The inside of a translucent body would grey the picture twice.
      property.setBackfaceCulling(look.opacity < 1 && !look.cut)
      inside.setColor(...look.section)
      inside.setOpacity(look.opacity)
      outline.actor.getProperty().setColor(...look.colour)
    },
    dispose() {
      fill.dispose()
      outline.dispose()
      inside.delete()
    },
  }
}

function part(renderer: vtkRenderer) {
  const actor = vtkActor.newInstance()
  const mapper = vtkMapper.newInstance()
  mapper.setScalarVisibility(false)
  actor.setMapper(mapper)
  actor.setVisibility(false)
  renderer.addActor(actor)
  let data: vtkPolyData | null = null
  let clipped = false
  return {
    actor,
    set(mesh: Mesh, normals: Float32Array) {
      const next = vtkPolyData.newInstance()
      next.getPoints().setData(Float32Array.from(mesh.positions), 3)
      next.getPolys().setData(cells(mesh.triangles))
      next
        .getPointData()
        .setNormals(vtkDataArray.newInstance({ numberOfComponents: 3, values: normals, name: 'Normals' }))
      mapper.setInputData(next)
      data?.delete()
      data = next
    },
    clip(by: vtkPlane | null) {
      if ((by !== null) === clipped) return
      clipped = by !== null
      mapper.removeAllClippingPlanes()
      if (by !== null) mapper.addClippingPlane(by)
    },
    dispose() {
      renderer.removeActor(actor)
      actor.delete()
      mapper.delete()
      data?.delete()
    },
  }
}

/** vtk.js wants the number of corners before each face. */
function cells(triangles: Uint32Array): Uint32Array {
  const out = new Uint32Array((triangles.length / 3) * 4)
  for (let t = 0; t < triangles.length / 3; t++) {
    out[4 * t] = 3
    out.set(triangles.subarray(3 * t, 3 * t + 3), 4 * t + 1)
  }
  return out
}

const AMBIENT = 0.22

function matt(property: vtkProperty): void {
  property.setAmbient(AMBIENT)
  property.setDiffuse(0.78)
  property.setSpecular(0)
}

function flat(property: vtkProperty): void {
  property.setAmbient(1)
  property.setDiffuse(0)
  property.setSpecular(0)
}
