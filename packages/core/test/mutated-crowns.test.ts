import { createRandom, type Random } from '@alveometer/phantom'
import { describe, expect, test } from 'vitest'
import {
  accessChannel,
  accessExit,
  angledChannel,
  type Crown,
  crownFromMesh,
  type ExitQuestion,
  tabulatedCrown,
} from '../src/crown/index.js'
import { MeshError, readMeshFile } from '../src/mesh-file/index.js'
import {
  cross,
  fromFrame,
  type Mat4,
  type Mesh,
  normalize,
  perpendicularTo,
  transformDirection,
  transformPoint,
  type Vec3,
} from '../src/space/index.js'
import { type MutatedCrown, mutatedCrowns } from './mutated-crowns.js'
import { mutatedMeshFiles } from './mutated-mesh-files.js'

// A crown that somebody exported may be broken in any way. Whatever it is, the channel through it is told in numbers or
// in nulls, or the crown is refused in words.

/** The first number anywhere in a result that is not finite, by its path. */
function broken(value: unknown, path = ''): string | undefined {
  if (typeof value === 'number') return Number.isFinite(value) ? undefined : `${path} is ${value}`
  if (typeof value !== 'object' || value === null) return undefined
  for (const [key, part] of Object.entries(value)) {
    const found = broken(part, `${path}.${key}`)
    if (found !== undefined) return found
  }
  return undefined
}

const away = (random: Random, by: number): Vec3 => [
  by * random.normal(),
  by * random.normal(),
  by * random.normal(),
]

function somePose(random: Random): Mat4 {
  const z = normalize(away(random, 1))
  const x = perpendicularTo(away(random, 1), z)
  return fromFrame(x, cross(z, x), z, away(random, 50))
}

/** Under the crown as planned, leaning any way, lying across, inside the crown, beside it or coronal of it. */
function someFixture(random: Random): ExitQuestion['fixture'] {
  const kind = random.uniform()
  const near: Vec3 = [random.normal(), random.normal(), 3.5 + random.normal()]
  if (kind < 0.5) return { platform: near, apical: [0.3 * random.normal(), 0.2 * random.normal(), 1] }
  if (kind < 0.6) return { platform: [0, 0, 3.5], apical: [0, 0, 1] }
  if (kind < 0.7) return { platform: near, apical: [random.normal(), random.normal(), 0] }
  if (kind < 0.8)
    return { platform: [random.normal(), random.normal(), -12 * random.uniform()], apical: away(random, 1) }
  if (kind < 0.9) return { platform: away(random, 20), apical: away(random, 1) }
  return { platform: near, apical: [random.normal(), random.normal(), -1] }
}

/** A sound crown whose mesh became this one after everything was found on it. */
function afterwards(sound: Crown, mesh: Mesh): Crown {
  const { regions } = sound
  return {
    ...sound,
    mesh,
    regions: Array.from({ length: mesh.triangles.length / 3 }, (_, n) => regions[n % regions.length]),
  }
}

/** The crown found on a mesh, or undefined where it is refused in words. */
function found({ name, mesh, tooth }: MutatedCrown): Crown | undefined {
  try {
    return crownFromMesh(mesh, tooth)
  } catch (error) {
    if (error instanceof RangeError && error.message.includes(tooth)) return undefined
    throw new Error(`${name}: ${error}`, { cause: error })
  }
}

/** How much is asked: a bend is looked for in many channels, a channel has many lines. */
type Depth = 'exit' | 'channel' | 'bend'

/** Follows a channel through the crown; what is wrong with the answer, or undefined. */
function ask(crown: Crown, random: Random, depth: Depth): string | undefined {
  const pose = somePose(random)
  const { platform, apical } = someFixture(random)
  const question = {
    ...{ crown, pose },
    fixture: { platform: transformPoint(pose, platform), apical: transformDirection(pose, apical) },
    site: { tooth: crown.tooth, facial: [1, 0, 0], coronal: [0, 0, -1] } as const,
  }
  return broken({
    exit: accessExit(question),
    channel: depth === 'exit' ? null : accessChannel(question),
    angled: depth === 'bend' ? angledChannel(question) : null,
  })
}

/** The longer a question takes the fewer of them: of 20 one asks for all, five for the channel. */
const depthOf = (n: number): Depth => (n % 20 === 0 ? 'bend' : n % 4 === 0 ? 'channel' : 'exit')

/** What is wrong with the answers for sound crowns whose meshes became these. */
function faultsOf(meshes: Iterable<MutatedCrown>, random: Random): { asked: number; faults: string[] } {
  const faults: string[] = []
  let asked = 0
  for (const { name, tooth, mesh } of meshes) {
    if (!mesh.positions.every(Number.isFinite)) continue
    const fault = ask(afterwards(tabulatedCrown(tooth), mesh), random, depthOf(asked++))
    if (fault !== undefined) faults.push(`${name}: ${fault}`)
  }
  return { asked, faults }
}

/** Meshes that files with flipped bytes, lost parts and exchanged numbers still hold, as the files hold them. */
function* meshesOfFiles(count: number): Generator<MutatedCrown> {
  for (const { name, bytes } of mutatedMeshFiles(count, 'channels')) {
    try {
      yield { name, tooth: '11', mesh: readMeshFile(bytes, name).mesh }
    } catch (error) {
      if (!(error instanceof MeshError)) throw error
    }
  }
}

describe('channels through broken crowns: finite numbers or nulls, never a hang', () => {
  test('9 500 crowns that broke after everything was found on them', () => {
    const random = createRandom('mutated crowns')
    const { asked, faults } = faultsOf(mutatedCrowns(10_600, random), random)
    expect(faults).toEqual([])
    expect(asked).toBeGreaterThanOrEqual(9500)
  })

  test('500 meshes of mutated files', () => {
    const { asked, faults } = faultsOf(meshesOfFiles(3000), createRandom('mutated files'))
    expect(faults).toEqual([])
    expect(asked).toBeGreaterThanOrEqual(500)
  })

  test('400 meshes on which the crown is to be found: an answer or a refusal in words', () => {
    const random = createRandom('mutated meshes')
    const tally = { asked: 0, refused: 0 }
    for (const it of mutatedCrowns(400, random)) {
      const crown = found(it)
      tally[crown ? 'asked' : 'refused']++
      if (!crown) continue
      expect(broken({ ...crown, mesh: null }), it.name).toBeUndefined()
      expect(ask(crown, random, depthOf(tally.asked)), it.name).toBeUndefined()
    }
    expect(tally.asked).toBeGreaterThan(100)
    expect(tally.refused).toBeGreaterThan(40)
  })
})
