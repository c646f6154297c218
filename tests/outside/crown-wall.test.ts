import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import {
  accessChannel,
  accessExit,
  type Crown,
  tabulatedCrown,
  type Vec3,
  type WallSide,
} from '@alveometer/core'
import { createRandom } from '@alveometer/phantom'
import { expect, test } from 'vitest'
import { channelSurface } from '../../packages/core/src/crown/channel-surface.js'
import { aimed } from '../../packages/core/test/channel-aim.js'
import { describeWithPython, runWithArrays } from '../outside-python.js'
import { describeWithData } from '../shared-data.js'
import { scannedCrowns } from './scanned-crowns.js'

const SIDES: readonly WallSide[] = ['facial', 'oral', 'mesial', 'distal', 'edge']
const FACES: readonly string[] = [...SIDES, 'base']
const CHANNELS = 4
/** No place of a crown is further than this from a strewn point, mm: as in crown-wall.py. */
const SLACK_MM = 0.05

/** A channel whose axis goes through a crown, in the crown frame. */
interface Drilled {
  readonly crown: Crown
  readonly platform: Vec3
  readonly direction: Vec3
  readonly diameterMm: number
  readonly walls: readonly (number | null)[]
}

/** Channels from below the crown that lean by up to 15 degrees; those that miss it are drawn again. */
function drill(crown: Crown): Drilled[] {
  const random = createRandom(`crown-wall/${crown.tooth}`)
  const drilled: Drilled[] = []
  while (drilled.length < CHANNELS) {
    const [x, y] = crown.landmarks.edgeCentre
    const platform: Vec3 = [x / 2 + 0.6 * random.normal(), y + 0.4 * random.normal(), 7]
    const [facialDeg, plusYDeg] = [0, 0].map(() => 15 * (2 * random.uniform() - 1))
    const channelDiameterMm = 2 + 1.5 * random.uniform()
    const question = aimed(crown, { platform, facialDeg, plusYDeg }, { channelDiameterMm })
    const exit = accessExit(question)
    if (exit.point === null || exit.region === 'base') continue
    const { wall } = accessChannel(question)
    const [tx, ty] = [facialDeg, plusYDeg].map((deg) => Math.tan((deg * Math.PI) / 180))
    const size = Math.hypot(tx, ty, 1)
    drilled.push({
      crown,
      platform,
      direction: [tx / size, ty / size, -1 / size],
      diameterMm: channelDiameterMm,
      walls: SIDES.map((side) => wall?.bySide[side]?.mm ?? null),
    })
  }
  return drilled
}

describeWithPython('walls of channels against points strewn over the crown', ['vtk', 'numpy'], (run) => {
  const compare = (crowns: readonly Crown[], least: number) => {
    const drilled = crowns.map(drill)
    const { inner, outer } = runWithArrays(
      run,
      readFileSync(join(import.meta.dirname, 'crown-wall.py'), 'utf8'),
      {
        sizes: Float64Array.from(
          crowns.flatMap(({ mesh }) => [mesh.positions.length / 3, mesh.triangles.length / 3, CHANNELS]),
        ),
        positions: Float64Array.from(crowns.flatMap(({ mesh }) => [...mesh.positions])),
        triangles: Float64Array.from(crowns.flatMap(({ mesh }) => [...mesh.triangles])),
        faces: Float64Array.from(
          crowns.flatMap((crown) => channelSurface(crown).faces.map((face) => FACES.indexOf(face))),
        ),
        channels: Float64Array.from(
          drilled.flat().flatMap((d) => [...d.platform, ...d.direction, d.diameterMm]),
        ),
      },
      ['inner', 'outer'],
    )
    let compared = 0
    let close = 0
    for (const [n, channel] of drilled.flat().entries())
      for (const [i, ours] of channel.walls.entries()) {
        const [within, beyond] = [inner[5 * n + i], outer[5 * n + i]]
        const where = `${channel.crown.tooth} ${SIDES[i]}`
        if (ours === null) expect(within, where).toBeNaN()
        else {
          // A face of which only a sliver counts may hold none of the points.
          if (!Number.isNaN(within)) expect(ours, where).toBeLessThan(within + 1e-9)
          expect(ours, where).toBeGreaterThan(beyond - SLACK_MM)
          compared++
          if (within - ours < 0.01) close++
        }
      }
    expect(compared).toBeGreaterThan(least)
    // All but the slivers.
    expect(close / compared).toBeGreaterThan(0.9)
  }

  test('tabulated crowns', () => {
    compare(
      ['11', '12', '13', '24', '36', '31', '43', '26'].map((tooth) => tabulatedCrown(tooth)),
      100,
    )
  })

  describeWithData('28 scanned crowns', 'tooth-crowns-obj', (folder) => {
    test('each with its channels', () => compare([...scannedCrowns(folder).values()], 400))
  })
})
