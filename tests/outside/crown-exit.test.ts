import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { accessChannel, accessExit, type Crown, type Vec3 } from '@alveometer/core'
import { createRandom, type Random } from '@alveometer/phantom'
import { expect, test } from 'vitest'
import { lineCrossings, meshTree } from '../../packages/core/src/space/mesh-tree.js'
import { aimed, POSE } from '../../packages/core/test/channel-aim.js'
import { describeWithPython, runWithArrays } from '../outside-python.js'
import { describeWithData } from '../shared-data.js'
import { inCrown } from './crown-places.js'
import { scannedCrowns } from './scanned-crowns.js'

/** Lines strewn over a crown, fixtures under it and wall lines of three of their channels. */
const LINES = 200
const FIXTURES = 40
const CHANNELS = 3
/** How far apart we and VTK may lie, mm. */
const CLOSE_MM = 1e-4

/** A line that was followed, and where ours crosses the crown first and last; null where it misses. */
interface Followed {
  readonly what: 'line' | 'exit' | 'outline'
  readonly from: Vec3
  readonly to: Vec3
  readonly first: Vec3 | null
  readonly last: Vec3 | null
}

const along = (p: Vec3, d: Vec3, k: number): Vec3 => [p[0] + k * d[0], p[1] + k * d[1], p[2] + k * d[2]]
const between = (p: Vec3, q: Vec3): number => Math.hypot(p[0] - q[0], p[1] - q[1], p[2] - q[2])

function strewn(crown: Crown, random: Random): Followed {
  const at = (reach: number) => reach * (2 * random.uniform() - 1)
  const through: Vec3 = [at(4), at(4), -crown.lengthMm * random.uniform()]
  const aside: Vec3 = [random.normal(), random.normal(), random.normal()]
  const size = Math.hypot(...aside)
  const direction: Vec3 = [aside[0] / size, aside[1] / size, aside[2] / size]
  const from = along(through, direction, -40)
  const hits = lineCrossings(meshTree(crown.mesh), from, direction)
  const [first, last] = [hits[0], hits.at(-1)].map((hit) =>
    hit ? along(from, direction, hit.distance) : null,
  )
  return { what: 'line', from, to: along(through, direction, 40), first, last }
}

/** A channel below the crown, leaning by up to 30 degrees: the line of its axis, then those along its wall. */
function channel(crown: Crown, random: Random, withOutline: boolean): Followed[] {
  const lean = () => 30 * (2 * random.uniform() - 1)
  const [x, y] = crown.landmarks.edgeCentre
  const aim = {
    platform: [x / 2 + random.normal() / 2, y + random.normal() / 2, 8] as const,
    facialDeg: lean(),
    plusYDeg: lean() / 2,
  }
  const question = aimed(crown, aim)
  const [tx, ty] = [aim.facialDeg, aim.plusYDeg].map((deg) => Math.tan((deg * Math.PI) / 180))
  const size = Math.hypot(tx, ty, 1)
  const direction: Vec3 = [tx / size, ty / size, -1 / size]
  const { point, channel } = accessExit(question)
  const axis: Followed = {
    what: 'exit',
    from: aim.platform,
    to: along(aim.platform, direction, 60),
    first: channel ? inCrown(POSE, channel.entry) : null,
    last: point ? inCrown(POSE, point) : null,
  }
  if (!withOutline) return [axis]
  const outline = accessChannel(question).outline ?? []
  const walls = outline.map((p): Followed => {
    const last = inCrown(POSE, p)
    return {
      what: 'outline',
      from: along(last, direction, -20),
      to: along(last, direction, 40),
      first: null,
      last,
    }
  })
  return [axis, ...walls]
}

describeWithData('exits of 28 scanned crowns', 'tooth-crowns-obj', (folder) => {
  describeWithPython('against VTK', ['vtk', 'numpy'], (run) => {
    const crowns = [...scannedCrowns(folder).values()]
    const followed = crowns.map((crown) => {
      const random = createRandom(`crown-exit/${crown.tooth}`)
      return [
        ...Array.from({ length: LINES }, () => strewn(crown, random)),
        ...Array.from({ length: FIXTURES }, (_, n) => channel(crown, random, n < CHANNELS)).flat(),
      ]
    })
    const { tree, locator } = runWithArrays(
      run,
      readFileSync(join(import.meta.dirname, 'crown-exit.py'), 'utf8'),
      {
        sizes: Float64Array.from(
          crowns.flatMap(({ mesh }, n) => [
            mesh.positions.length / 3,
            mesh.triangles.length / 3,
            followed[n].length,
          ]),
        ),
        positions: Float64Array.from(crowns.flatMap(({ mesh }) => [...mesh.positions])),
        triangles: Float64Array.from(crowns.flatMap(({ mesh }) => [...mesh.triangles])),
        lines: Float64Array.from(followed.flat().flatMap(({ from, to }) => [...from, ...to])),
      },
      ['tree', 'locator'],
    )
    const all = followed.flat()
    const place = (answers: Float64Array, at: number): Vec3 => [answers[at], answers[at + 1], answers[at + 2]]

    test.each([
      ['vtkOBBTree', tree],
      ['vtkCellLocator', locator],
    ])('%s finds the same first and last crossings', (_, answers) => {
      const counts = { line: 0, exit: 0, outline: 0 }
      let worst = 0
      const differing: string[] = []
      for (const [n, { what, first, last }] of all.entries()) {
        const theirs = [place(answers, 6 * n), place(answers, 6 * n + 3)]
        for (const [i, ours] of [first, last].entries()) {
          if (ours === null && what === 'outline') continue
          const misses = Number.isNaN(theirs[i][0])
          const apart = ours === null || misses ? Number.POSITIVE_INFINITY : between(ours, theirs[i])
          if (ours === null && misses) continue
          if (apart > CLOSE_MM) differing.push(`${what} ${n}: ${ours} and ${theirs[i]}`)
          else worst = Math.max(worst, apart)
          counts[what]++
        }
      }
      expect(differing).toEqual([])
      expect(worst).toBeLessThan(CLOSE_MM)
      expect(counts.line).toBeGreaterThan(28 * LINES)
      expect(counts.exit).toBeGreaterThan(FIXTURES * 28)
      expect(counts.outline).toBeGreaterThan(28 * CHANNELS * 36)
    })
  })
})
