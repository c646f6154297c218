import {
  accessExit,
  antimereOf,
  type Crown,
  crownFromMesh,
  type FoundFrame,
  findCrownFrame,
  type Mesh,
  mirroredMesh,
  sizeOf,
  type Vec3,
} from '@alveometer/core'
import { createRandom, type Random } from '@alveometer/phantom'
import { beforeAll, describe, expect, test } from 'vitest'
import {
  column,
  cross,
  fromFrame,
  invert,
  type Mat4,
  multiply,
  normalize,
  perpendicularTo,
  transformPoint,
} from '../../packages/core/src/space/index.js'
import { describeWithData } from '../shared-data.js'
import { SCANNED_TEETH, scannedCrowns } from './scanned-crowns.js'

/** How the axes found on a crown lie to the arch's: the long axis' lean, and the turn of the facial direction, degrees. */
interface Lean {
  /** The coronal end leans facially. */
  readonly facialDeg: number
  /** It leans towards +y. */
  readonly sideDeg: number
  readonly turnDeg: number
}

const degrees = (radians: number): number => (radians * 180) / Math.PI

/** `frame`: to coordinates whose z is the occlusal direction, upright, and whose x is the arch's outward normal. */
function leanOf(frame: Mat4): Lean {
  const [x, , z] = [column(frame, 0), column(frame, 1), column(frame, 2)]
  return {
    facialDeg: degrees(Math.atan2(-z[0], z[2])),
    sideDeg: degrees(Math.atan2(-z[1], z[2])),
    turnDeg: degrees(Math.atan2(x[1], x[0])),
  }
}

/**
 * Mean labiolingual tilt of the long axis to the vertical, degrees, places 1 to 7, facial positive: Dempster 1963 as
 * reprinted in Wheeler's Dental Anatomy (from memory). Lower premolars are left at upright: which way their 9 degrees
 * go is not said.
 */
const TILT_DEG = {
  upper: [28, 26, 16, 5, 6, 8, 10],
  lower: [22, 23, 12, 0, 0, -20, -20],
}

/**
 * Right side up and right way round. The bars are our own choice and wide, as the yardstick is rough: one person's teeth
 * lean by themselves, and a parabola's normal differs from the line through the neighbours by up to 20 degrees at the
 * incisors. Held to 20 degrees from the occlusal direction and 25 from the normal as they stand, 17 of 28 pass: long
 * axes of front teeth lean 20 to 30 degrees facially, those of second molars up to 35 to a side.
 */
const right = (tooth: string, { facialDeg, sideDeg, turnDeg }: Lean): boolean =>
  Math.abs(facialDeg - TILT_DEG[Number(tooth) < 30 ? 'upper' : 'lower'][Number(tooth[1]) - 1]) <= 20 &&
  Math.abs(sideDeg) <= 25 &&
  Math.abs(turnDeg) <= 35

function anyTurn(random: Random): Mat4 {
  const some = (): Vec3 => [random.normal(), random.normal(), random.normal()]
  const z = normalize(some())
  const x = perpendicularTo(some(), z)
  return fromFrame(x, cross(z, x), z, [40 * random.normal(), 40 * random.normal(), 40 * random.normal()])
}

function moved(mesh: Mesh, m: Mat4): Mesh {
  const positions = mesh.positions.slice()
  for (let i = 0; i < positions.length; i += 3)
    positions.set(transformPoint(m, [positions[i], positions[i + 1], positions[i + 2]]), i)
  return { positions, triangles: mesh.triangles }
}

describeWithData(
  'frames of 28 scanned crowns, each turned and moved at random',
  'tooth-crowns-obj',
  (folder) => {
    const found = new Map<string, { readonly frame: FoundFrame; readonly leans: readonly Lean[] }>()
    let crowns: ReadonlyMap<string, Crown> = new Map()

    beforeAll(() => {
      crowns = scannedCrowns(folder)
      const random = createRandom('frames of scanned crowns')
      for (const [tooth, crown] of crowns) {
        const turn = anyTurn(random)
        const frame = findCrownFrame(moved(crown.mesh, turn), tooth)
        const back = invert(turn)
        const leans = [frame, ...frame.alternatives].map((it) => leanOf(multiply(back, it.frame)))
        found.set(tooth, { frame, leans })
      }
    }, 300_000)

    const of = (tooth: string) => {
      const it = found.get(tooth)
      if (!it) throw new Error(`no crown ${tooth}`)
      return it
    }

    test('at least 27 of 28 are right side up and right way round, leaning as teeth do on the mean', () => {
      const wrong = SCANNED_TEETH.filter((tooth) => !right(tooth, of(tooth).leans[0]))
      expect(wrong.length, wrong.join(', ')).toBeLessThanOrEqual(1)
    })

    test('where they are not, the finder is not sure and the right ones are among the others it offers', () => {
      for (const tooth of SCANNED_TEETH) {
        const { frame, leans } = of(tooth)
        expect(
          leans.some((lean) => right(tooth, lean)),
          tooth,
        ).toBe(true)
        if (!right(tooth, leans[0])) expect(frame.sure, tooth).toBe(false)
      }
    })

    test('it is sure of every front tooth, and rightly', () => {
      for (const tooth of SCANNED_TEETH.filter((it) => Number(it[1]) <= 3)) {
        expect(of(tooth).frame.sure, tooth).toBe(true)
        expect(right(tooth, of(tooth).leans[0]), tooth).toBe(true)
      }
    })

    describe('the antimere mirrored stands in for the tooth', () => {
      const ownCrown = (mesh: Mesh, tooth: string): Crown =>
        crownFromMesh(mesh, tooth, findCrownFrame(mesh, tooth).frame)
      const meshOf = (tooth: string): Mesh => {
        const crown = crowns.get(tooth)
        if (!crown) throw new Error(`no crown ${tooth}`)
        return crown.mesh
      }
      const exitOf = (crown: Crown, facialDeg: number) => {
        const lean = (facialDeg * Math.PI) / 180
        return accessExit({
          crown,
          pose: fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 0]),
          fixture: { platform: [0, 0, 3.5], apical: [-Math.sin(lean), 0, Math.cos(lean)] },
          site: { tooth: crown.tooth, facial: [1, 0, 0], coronal: [0, 0, -1] },
        })
      }

      test('21 for 11: sizes within 0.2 mm, exits of the same class and within 0.2 mm of offset', () => {
        const own = ownCrown(meshOf('11'), '11')
        const mirrored = ownCrown(mirroredMesh(meshOf('21')), '11')
        const [a, b] = [sizeOf(own), sizeOf(mirrored)]
        for (const size of ['lengthMm', 'widthMdMm', 'widthLlMm'] as const)
          expect(Math.abs(a[size] - b[size]), size).toBeLessThan(0.2)
        for (const facialDeg of [-10, 0, 5, 10, 20]) {
          const [e, f] = [exitOf(own, facialDeg), exitOf(mirrored, facialDeg)]
          expect(f.class, `${facialDeg}`).toBe(e.class)
          expect(
            Math.abs((f.offsetMm ?? Number.NaN) - (e.offsetMm ?? Number.NaN)),
            `${facialDeg}`,
          ).toBeLessThan(0.2)
        }
      })

      test.each(['12', '13', '32', '33'])(
        '%s and its antimere: sizes within 0.7 mm, offsets within 0.6 mm',
        (tooth) => {
          const own = ownCrown(meshOf(tooth), tooth)
          const mirrored = ownCrown(mirroredMesh(meshOf(antimereOf(tooth))), tooth)
          const [a, b] = [sizeOf(own), sizeOf(mirrored)]
          for (const size of ['lengthMm', 'widthMdMm', 'widthLlMm'] as const)
            expect(Math.abs(a[size] - b[size]), size).toBeLessThan(0.7)
          for (const facialDeg of [0, 10]) {
            const offset = (crown: Crown) => exitOf(crown, facialDeg).offsetMm ?? Number.NaN
            expect(Math.abs(offset(mirrored) - offset(own))).toBeLessThan(0.6)
          }
        },
      )
    })

    test('the edge line ends near the corners, and the margin runs round below the contacts', () => {
      for (const [tooth, crown] of crowns) {
        const y = (p: Vec3) => p[1]
        const width = sizeOf(crown).widthMdMm
        const reach = Math.abs(y(crown.landmarks.edgeMesial) - y(crown.landmarks.edgeDistal))
        expect(reach, tooth).toBeGreaterThan(0.25 * width)
        expect(reach, tooth).toBeLessThan(width)
        expect(crown.cejCurve.length, tooth).toBe(72)
        expect(Math.max(...crown.cejCurve.map((p) => p[2])), tooth).toBeCloseTo(0, 6)
        expect(crown.landmarks.zenith[0], tooth).toBeGreaterThan(0)
        expect(crown.regions.filter((region) => region === 'base').length, tooth).toBeGreaterThan(100)
      }
    })
  },
)
