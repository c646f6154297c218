// Tilt chart, ways out and miss cloud on the upper front sample, against assessing as many poses one by one and, of the
// chart, against SciPy looking up the same distances.
import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { upperFront } from '@alveometer/phantom'
import { siteSurface } from '../dist/bone/index.js'
import {
  exploredSite,
  missCloudSteps,
  tiltChartPose,
  tiltChartSteps,
  waysOutSteps,
} from '../dist/explore/index.js'
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
  // A narrow fixture that keeps its margins, so that there is an error to be tolerated.
  const narrow = { kind: 'cylinder', diameterMm: 3, lengthMm: 9 }
  const best = lastOf(waysOutSteps(site, { shapes: [narrow] })).ways.find(({ way }) => way === 'cemented')
  const kept = exploredSite(bone, { ...plan, fixture: { ...best.pose, shape: narrow } })
  const chart = await measure(
    `tilt chart of ${spec.columns.count} x ${spec.rows.count} poses: margins, exit, bend, graft`,
    () => sumOf(lastOf(tiltChartSteps(site, spec)).nearestMm),
    { warmup: 2, repeats: 7 },
  )
  const onePoseMs = await assessMs(context, volume, plan, bone, poses)
  const byAssess = (count) => ({
    name: 'assess of each pose',
    median: onePoseMs * count,
    note: `reckoned from ${ASSESSED} poses`,
  })
  const found = lastOf(waysOutSteps(site))
  const ways = await measure(
    `ways out of one size: ${found.measured} poses measured`,
    () => lastOf(waysOutSteps(site)).ways.reduce((sum, { objective }) => sum + objective.value, 0),
    { warmup: 1, repeats: 5 },
  )
  const draws = 10_000
  const cloud = await measure(
    'miss cloud of 10 000 draws, angled way: margins, bend, platform',
    () => {
      for (const part of missCloudSteps(site, { way: 'angled', draws }))
        if (typeof part !== 'number' && part.draws === draws) return part.allHold.share
    },
    { warmup: 1, repeats: 5 },
  )
  const tolerable = await measure(
    'the same with the largest error that keeps all limits, cemented way, bone and access',
    () => {
      const { tolerable, allHoldStill } = lastOf(
        missCloudSteps(kept, { way: 'cemented', counted: 'bone-and-access', draws }),
      )
      return tolerable === null ? allHoldStill : tolerable.scale
    },
    { warmup: 1, repeats: 5 },
  )
  return [
    await measure(
      'surface of bone round a site of 1.5 million nodes, blurred volume at hand',
      () => siteSurface(bone, regionOf(site)).distanceMm.reduce((sum, mm) => sum + mm, 0),
      { warmup: 1, repeats: 5 },
    ),
    await measure(
      'tilt chart, first picture: every fourth cell',
      () => sumOf(firstChartOf(tiltChartSteps(site, spec)).nearestMm),
      { warmup: 3, repeats: 15 },
    ),
    { ...chart, peers: [byAssess(poses.length), ...lookedUp(context, site, poses)] },
    { ...ways, peers: [byAssess(found.measured)] },
    { ...cloud, peers: [byAssess(draws)] },
    tolerable,
  ]
}

const regionOf = ({ surface: { originMm, stepMm, shape } }) => ({
  lowMm: originMm,
  highMm: originMm.map((mm, a) => mm + stepMm * (shape[a] - 1)),
})

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

/** Poses evenly spread over the chart, assessed as a drag does it: what one of them takes. */
async function assessMs({ measure }, volume, plan, bone, poses) {
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
  return median
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
