import {
  add,
  along,
  fixtureProfile,
  type ImagePlane,
  normalize,
  type Plan,
  scale,
  type WayFound,
  type WaysOut,
} from '@alveometer/core'
import { imagePlane, ontoPlane, sectionAxes } from '../drawing/view.js'
import { crownOrigin } from '../session/index.js'

/** Planes to picture the ways in, by way; `present` the plan's own. */
export type WayPlanes = Readonly<Record<string, ImagePlane>>

/** What a small section shows, mm, and in so many pixels. */
const WIDE_MM = 18
const HIGH_MM = 30
const MM_PER_PIXEL = 0.1

/** The plan with the fixture of a way. */
export const planOf = (plan: Plan, { pose, shape }: Pick<WayFound, 'pose' | 'shape'>): Plan => ({
  ...plan,
  fixture: { shape, platform: pose.platform, apical: pose.apical },
})

/** The section through a plan's fixture, as large for every way and about the same place of the crown. */
function planeOf(plan: Plan): ImagePlane {
  const axes = sectionAxes(plan)
  const { platform, apical, shape } = plan.fixture
  const apex = along(platform, normalize(apical), fixtureProfile(shape).lengthMm)
  // Between the apex and the crown's far end, which lies about as far coronally of its base as the apex lies apically.
  const middle = scale(add(apex, along(crownOrigin(plan), normalize(plan.site.coronal), 9)), 0.5)
  return imagePlane({
    ...axes,
    centre: ontoPlane(middle, platform, axes.normal),
    mmPerPixel: MM_PER_PIXEL,
    width: WIDE_MM / MM_PER_PIXEL,
    height: HIGH_MM / MM_PER_PIXEL,
  })
}

export const wayPlanes = (plan: Plan, { ways, present }: WaysOut): WayPlanes => ({
  present: planeOf(planOf(plan, present)),
  ...Object.fromEntries(ways.map((found) => [found.way, planeOf(planOf(plan, found))])),
})
