// What one pose costs while it is dragged, and what a scan costs once after loading; on the upper front sample.
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { upperFront } from '@alveometer/phantom'
import {
  assess,
  boneModel,
  fastMargin,
  fixtureFrame,
  fixtureProfile,
  readPlan,
  surfaceGrid,
} from '../dist/index.js'

export async function rows({ measure, root }) {
  const { volume } = upperFront()
  const plan = readPlan(
    readFileSync(join(root, 'sample-volumes', 'upper-front', 'plan-opening.json'), 'utf8'),
  )
  const bone = boneModel(volume)
  const profile = fixtureProfile(plan.fixture.shape)
  const grid = surfaceGrid(profile)
  let turn = 0
  /** A pose a little off the plan's, never the same twice in a row, back at the start after 20. */
  const nudged = () => {
    turn = (turn + 1) % 20
    const [x, y, z] = plan.fixture.platform
    return { ...plan, fixture: { ...plan.fixture, platform: [x + 0.01 * turn, y, z - 0.01 * turn] } }
  }
  const poses = 20
  return [
    await measure(
      'assess one pose: 72 angles x 41 depths, exit, density, findings (20 poses, per pose)',
      () => {
        let sum = 0
        for (let n = 0; n < poses; n++) sum += assess(volume, nudged(), { bone }).margin.minimum.radialMm
        return sum / poses
      },
      { warmup: 3, repeats: 15, per: poses },
    ),
    await measure(
      'margin of one pose alone (20 poses, per pose)',
      () => {
        let sum = 0
        for (let n = 0; n < poses; n++) {
          const { fixture, site } = nudged()
          sum += fastMargin(bone, fixtureFrame(fixture, site.facial), profile, grid).minimum.radialMm
        }
        return sum / poses
      },
      { warmup: 3, repeats: 15, per: poses },
    ),
    await measure(
      'calibration and exterior of a new scan, 250 x 250 x 225 voxels',
      () => boneModel({ ...volume }).calibration.cortexGrey,
      { warmup: 1, repeats: 5 },
    ),
  ]
}
