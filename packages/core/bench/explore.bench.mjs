// Every tilt of the fixture at once, on the upper front sample: the first picture and the full chart, against assessing the
// same poses one by one and against SciPy looking up the same distances.
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { upperFront } from '@alveometer/phantom'
import { exploredSite, tiltChartPose, tiltChartSteps } from '../dist/explore/index.js'
import {
  assess,
  boneModel,
  fixtureFrame,
  fixtureProfile,
  radiusAtMm,
  readPlan,
  DEFAULT_CHART_SPEC as spec,
  surfaceGrid,
} from '../dist/index.js'

/** So many poses are assessed one by one; all of them would take a minute. */
const ASSESSED = 40

export async function rows(context) {
  const { measure, root } = context
  const { volume } = upperFront()
  const plan = readPlan(
    readFileSync(join(root, 'sample-volumes', 'upper-front', 'plan-opening.json'), 'utf8'),
  )
  const bone = boneModel(volume)
  const site = exploredSite(bone, plan)
  const poses = posesOf(site)
  const chart = await measure(
    `tilt chart of ${spec.columns.count} x ${spec.rows.count} poses: margins, exit, bend, graft`,
    () => sumOf(lastOf(tiltChartSteps(site, spec)).nearestMm),
    { warmup: 2, repeats: 7 },
  )
  return [
    await measure(
      'surface of bone round a site, found once',
      // Of a model not seen before: the surface is kept with it.
      () => exploredSite({ ...bone }, plan).surface.distanceMm.reduce((sum, mm) => sum + mm, 0),
      { warmup: 1, repeats: 5 },
    ),
    await measure(
      'tilt chart, first picture: every fourth cell',
      () => sumOf(firstChartOf(tiltChartSteps(site, spec)).nearestMm),
      { warmup: 3, repeats: 15 },
    ),
    {
      ...chart,
      peers: [await oneByOne(context, volume, plan, bone, poses), ...lookedUp(context, site, poses)],
    },
  ]
}

const sumOf = (field) => field.reduce((sum, value) => sum + (value ?? 0), 0)

function posesOf(site) {
  const value = ({ from, to, count }, n) => from + ((to - from) * n) / (count - 1)
  return Array.from({ length: spec.rows.count }, (_, row) =>
    Array.from({ length: spec.columns.count }, (_, column) =>
      tiltChartPose(site, spec, value(spec.columns, column), value(spec.rows, row)),
    ),
  ).flat()
}

function firstChartOf(steps) {
  for (const part of steps) if (typeof part !== 'number') return part
}

function lastOf(steps) {
  for (;;) {
    const { done, value } = steps.next()
    if (done) return value
  }
}

/** Poses evenly spread over the chart, assessed as a drag does it; the time is that of all of them. */
async function oneByOne({ measure }, volume, plan, bone, poses) {
  const some = Array.from(
    { length: ASSESSED },
    (_, n) => poses[Math.floor(((n + 0.5) * poses.length) / ASSESSED)],
  )
  const { median } = await measure(
    'assess of poses of the chart',
    () =>
      some.reduce((sum, pose) => {
        const fixture = { ...plan.fixture, ...pose }
        return sum + (assess(volume, { ...plan, fixture }, { bone }).margin.minimum?.nearestMm ?? 0)
      }, 0),
    { warmup: 1, repeats: 3, per: ASSESSED },
  )
  return {
    name: 'assess of each pose',
    median: median * poses.length,
    note: `reckoned from ${ASSESSED} poses`,
  }
}

/** The same distance field at the same 72 x 41 points of each pose, the least of them: margins only. */
function lookedUp({ findPython, runPython, root, scratch }, { surface, plan }, poses) {
  if (findPython(['numpy', 'scipy']) === undefined) return []
  const profile = fixtureProfile(plan.fixture.shape)
  const { depthsMm, anglesDeg } = surfaceGrid(profile)
  const { originMm, stepMm, shape, distanceMm } = surface
  const field = join(scratch, 'site-field')
  writeFileSync(field, new Uint8Array(distanceMm.slice().buffer))
  writeFileSync(
    `${field}.json`,
    JSON.stringify({
      originMm,
      stepMm,
      shape,
      frames: poses.flatMap((pose) => {
        const { origin, x, y, z } = fixtureFrame(pose, plan.site.facial)
        return [...origin, ...x, ...y, ...z]
      }),
      depthsMm,
      anglesDeg,
      radiiMm: depthsMm.map((depthMm) => radiusAtMm(profile, depthMm)),
    }),
  )
  const script = join(root, 'packages', 'core', 'bench', 'tilt-chart.py')
  const { median, checksum } = runPython(script, [field, `${field}.json`], { modules: ['numpy', 'scipy'] })
  const name = 'scipy map_coordinates of the same field, the least distance of each pose and no more'
  return [{ name, median, note: `sum ${Number(checksum.toPrecision(9))}` }]
}
