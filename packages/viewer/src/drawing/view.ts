import {
  along,
  cross,
  dot,
  fixtureFrame,
  type ImagePlane,
  type Plan,
  perpendicularTo,
  scale,
  subtract,
  type Vec3,
} from '@alveometer/core'
import type { DrawnPlace } from '../events.js'

/** A point on a drawing, in CSS pixels from its upper left corner. */
export type Pixel = readonly [number, number]

/** How a plane of the patient lies on the screen: unit directions in LPS, the point in the middle, the scale. */
export interface View {
  readonly centre: Vec3
  readonly right: Vec3
  readonly down: Vec3
  readonly mmPerPixel: number
  readonly width: number
  readonly height: number
}

export type ViewAxes = Pick<View, 'right' | 'down'> & { readonly normal: Vec3 }

/** A point of the patient on the drawing, projected along the view's normal. */
export function toPixel(view: View, point: Vec3): Pixel {
  const d = subtract(point, view.centre)
  return [
    view.width / 2 + dot(d, view.right) / view.mmPerPixel,
    view.height / 2 + dot(d, view.down) / view.mmPerPixel,
  ]
}

/** The point of the view's plane under a pixel. */
export const fromPixel = (view: View, [x, y]: Pixel): Vec3 =>
  along(
    along(view.centre, view.right, (x - view.width / 2) * view.mmPerPixel),
    view.down,
    (y - view.height / 2) * view.mmPerPixel,
  )

/** The point under a pixel with the directions of the drawing. */
export const placeAt = (view: View, pixel: Pixel): DrawnPlace => ({
  centre: fromPixel(view, pixel),
  right: view.right,
  down: view.down,
})

/** A step on the screen as a step in the patient, mm. */
export const stepMm = (view: View, dx: number, dy: number): Vec3 =>
  along(scale(view.right, dx * view.mmPerPixel), view.down, dy * view.mmPerPixel)

/** The pixels to ask the engine for: one per CSS pixel, fewer on very large drawings. */
export function imagePlane(view: View, atMost = 1000): ImagePlane {
  const coarser = Math.max(1, Math.max(view.width, view.height) / atMost)
  const step = view.mmPerPixel * coarser
  const width = Math.max(1, Math.round(view.width / coarser))
  const height = Math.max(1, Math.round(view.height / coarser))
  const corner = along(view.centre, view.right, (-(width - 1) / 2) * step)
  return {
    origin: along(corner, view.down, (-(height - 1) / 2) * step),
    du: scale(view.right, step),
    dv: scale(view.down, step),
    width,
    height,
  }
}

/**
 * The section: the plane through the fixture axis and the facial direction. Facial is on the left, superior above; the
 * vertical is the site's, so the picture stands still while the fixture tilts within it.
 */
export function sectionAxes(plan: Plan): ViewAxes {
  const { facial, coronal } = plan.site
  const normal = fixtureFrame(plan.fixture, facial).y
  const up = perpendicularTo(coronal[2] > 0 ? coronal : scale(coronal, -1), normal)
  const across = cross(up, normal)
  return {
    right: dot(across, facial) > 0 ? scale(across, -1) : across,
    down: scale(up, -1),
    normal,
  }
}

/** The collar: the plane across the fixture, facial above, seen from below as axial slices are. */
export function collarAxes(plan: Plan): ViewAxes {
  const { x, y, z } = fixtureFrame(plan.fixture, plan.site.facial)
  return { right: z[2] > 0 ? y : scale(y, -1), down: scale(x, -1), normal: z }
}

/** A point moved along the normal of a plane until it lies in it. */
export const ontoPlane = (point: Vec3, inPlane: Vec3, normal: Vec3): Vec3 =>
  along(point, normal, dot(subtract(inPlane, point), normal))
