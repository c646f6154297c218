import type { Random } from '@alveometer/phantom'
import { tabulatedCrown } from '../src/crown/index.js'
import { type Mesh, type Vec3, vertex } from '../src/space/index.js'

/** A crown mesh that something was done to, in or near the crown frame. */
export interface MutatedCrown {
  readonly name: string
  readonly tooth: string
  readonly mesh: Mesh
}

const TEETH = ['11', '12', '13', '24', '36', '31', '43', '26'] as const

type Mutation = (mesh: Mesh, random: Random) => Mesh

const pick = (random: Random, below: number): number => Math.floor(random.uniform() * below)
const triangleCount = (mesh: Mesh): number => mesh.triangles.length / 3
const vertexCount = (mesh: Mesh): number => mesh.positions.length / 3

/** The mesh with some of its triangles told anew: none, one or several instead of each. */
const retold = (
  mesh: Mesh,
  tell: (corners: readonly number[], n: number) => readonly (readonly number[])[],
): Mesh => ({
  positions: mesh.positions,
  triangles: Uint32Array.from(
    Array.from({ length: triangleCount(mesh) }, (_, n) =>
      tell([...mesh.triangles.subarray(3 * n, 3 * n + 3)], n).flat(),
    ).flat(),
  ),
})

const moved = (mesh: Mesh, move: (p: Vec3, n: number) => Vec3): Mesh => ({
  positions: Float64Array.from(
    Array.from({ length: vertexCount(mesh) }, (_, n) => move(vertex(mesh, n), n)).flat(),
  ),
  triangles: mesh.triangles,
})

/** Both meshes as one. */
const joined = (a: Mesh, b: Mesh): Mesh => ({
  positions: Float64Array.of(...a.positions, ...b.positions),
  triangles: Uint32Array.of(...a.triangles, ...b.triangles.map((v) => v + vertexCount(a))),
})

const scaled = (mesh: Mesh, by: Vec3): Mesh => moved(mesh, (p) => [p[0] * by[0], p[1] * by[1], p[2] * by[2]])
const flipped = (mesh: Mesh): Mesh => retold(mesh, ([a, b, c]) => [[a, c, b]])
const power = (random: Random, reach: number): number => 10 ** (reach * (2 * random.uniform() - 1))

/** What happens to meshes between a laboratory and us, and worse. */
export const MUTATIONS: Readonly<Record<string, Mutation>> = {
  untouched: (mesh) => mesh,
  'vertices moved': (mesh, random) => {
    const reach = power(random, 2)
    const share = random.uniform()
    return moved(mesh, (p) =>
      random.uniform() < share
        ? [p[0] + reach * random.normal(), p[1] + reach * random.normal(), p[2] + reach * random.normal()]
        : p,
    )
  },
  'triangles dropped': (mesh, random) => {
    const share = random.uniform() ** 2
    return retold(mesh, (it) => (random.uniform() < share ? [] : [it]))
  },
  'triangles doubled': (mesh, random) => {
    const share = random.uniform() ** 2
    return retold(mesh, (it) => (random.uniform() < share ? [it, it] : [it]))
  },
  'triangles flipped': (mesh, random) => {
    const share = random.uniform() ** 2
    return retold(mesh, ([a, b, c]) => [random.uniform() < share ? [a, c, b] : [a, b, c]])
  },
  'corners exchanged': (mesh, random) => {
    const share = random.uniform() ** 3
    return retold(mesh, (it) => [
      it.map((v) => (random.uniform() < share ? pick(random, vertexCount(mesh)) : v)),
    ])
  },
  'slivers and points': (mesh, random) => {
    const share = random.uniform()
    return retold(mesh, ([a, b, c]) =>
      random.uniform() < share
        ? [
            [a, b, c],
            [a, b, b],
            [c, c, c],
            [a, b, a],
          ]
        : [[a, b, c]],
    )
  },
  'vertices in one line': (mesh, random) => {
    const share = random.uniform()
    return moved(mesh, (p) => (random.uniform() < share ? [p[0], 0, p[2]] : p))
  },
  flattened: (mesh, random) => {
    const axis = pick(random, 3)
    const by = random.uniform() < 0.5 ? 0 : power(random, 12)
    return moved(mesh, (p) => [
      axis === 0 ? p[0] * by : p[0],
      axis === 1 ? p[1] * by : p[1],
      axis === 2 ? p[2] * by : p[2],
    ])
  },
  'another scale': (mesh, random) => {
    // Readers of mesh files refuse coordinates beyond 1e9.
    const by = power(random, 7)
    return scaled(mesh, [by, by, by])
  },
  'far away': (mesh, random) => {
    const by = power(random, 7)
    return moved(mesh, (p) => [p[0] + by * random.normal(), p[1] + by * random.normal(), p[2] + by])
  },
  'coordinates rounded': (mesh, random) => {
    const step = 10 ** (2 * random.uniform() - 0.5)
    return moved(mesh, (p) => [
      Math.round(p[0] / step) * step,
      Math.round(p[1] / step) * step,
      Math.round(p[2] / step) * step,
    ])
  },
  'a second shell': (mesh, random) => {
    const by = 20 * random.uniform()
    return joined(
      mesh,
      moved(mesh, (p) => [p[0] + by * random.normal(), p[1] + by, p[2]]),
    )
  },
  'a void inside': (mesh, random) => {
    const by = random.uniform()
    return joined(mesh, flipped(scaled(mesh, [by, by, by])))
  },
  'inside out': flipped,
  mirrored: (mesh) => scaled(mesh, [-1, 1, 1]),
  'upside down': (mesh) => scaled(mesh, [1, -1, -1]),
  'a number that is none': (mesh, random) => {
    const positions = mesh.positions.slice()
    const bad = [Number.NaN, Number.POSITIVE_INFINITY, Number.NEGATIVE_INFINITY]
    positions[pick(random, positions.length)] = bad[pick(random, bad.length)]
    return { ...mesh, positions }
  },
  'no triangles': (mesh) => ({ positions: mesh.positions, triangles: new Uint32Array() }),
}

/** As many crowns as asked for, each of a tooth with one to three mutations; the same ones for the same random numbers. */
export function* mutatedCrowns(count: number, random: Random): Generator<MutatedCrown> {
  const names = Object.keys(MUTATIONS)
  const coarse = TEETH.map((tooth) => ({ tooth, mesh: coarser(tabulatedCrown(tooth).mesh, 1.5) }))
  for (let n = 0; n < count; n++) {
    const { tooth, mesh } = coarse[n % coarse.length]
    const chain = [
      names[pick(random, names.length)],
      ...Array.from({ length: pick(random, 3) }, () => names[pick(random, names.length)]),
    ]
    yield {
      name: `crown ${n} of ${tooth}: ${chain.join(', ')}`,
      tooth,
      mesh: chain.reduce((it, mutation) => MUTATIONS[mutation](it, random), mesh),
    }
  }
}

/** A mesh of few triangles: vertices in one cell of a grid become one. Mutations are many, so each has to be small. */
function coarser(mesh: Mesh, cellMm: number): Mesh {
  const cells = new Map<string, number>()
  const kept: Vec3[] = []
  const cellOf = Array.from({ length: vertexCount(mesh) }, (_, n) => {
    const p = vertex(mesh, n)
    const key = p.map((v) => Math.round(v / cellMm)).join(' ')
    const known = cells.get(key)
    if (known !== undefined) return known
    cells.set(key, kept.length)
    kept.push(p)
    return kept.length - 1
  })
  const welded = {
    positions: Float64Array.from(kept.flat()),
    triangles: mesh.triangles.map((v) => cellOf[v]),
  }
  return retold(welded, ([a, b, c]) => (a === b || b === c || c === a ? [] : [[a, b, c]]))
}
