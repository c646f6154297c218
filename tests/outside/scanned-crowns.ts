import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Crown, crownFrameOf, crownFromMesh, type Mesh, readMesh, type Vec3 } from '@alveometer/core'

/** The teeth whose crowns lie in the shared data `tooth-crowns-obj`. */
export const SCANNED_TEETH: readonly string[] = [1, 2, 3, 4].flatMap((quadrant) =>
  [1, 2, 3, 4, 5, 6, 7].map((place) => `${quadrant}${place}`),
)

/**
 * The scanned crowns in their crown frames, by tooth. In the files x runs to the patient's left, y up and z forward;
 * both arches lie about a parabola in x and z, whose outward normal at a crown is taken for its facial direction.
 */
export function scannedCrowns(folder: string): Map<string, Crown> {
  const meshes = new Map(
    SCANNED_TEETH.map((tooth) => [
      tooth,
      readMesh(readFileSync(join(folder, `crown-fdi-${tooth}.obj`)), `crown-fdi-${tooth}.obj`),
    ]),
  )
  return new Map(
    SCANNED_TEETH.map((tooth) => {
      const mesh = meshOf(meshes, tooth)
      const upper = Number(tooth) < 30
      const arch = SCANNED_TEETH.filter((other) => Number(other) < 30 === upper).map((other) =>
        middle(meshOf(meshes, other)),
      )
      const frame = crownFrameOf(mesh, [0, upper ? 1 : -1, 0], outward(arch, middle(mesh)))
      return [tooth, crownFromMesh(mesh, tooth, frame)]
    }),
  )
}

function meshOf(meshes: ReadonlyMap<string, Mesh>, tooth: string): Mesh {
  const mesh = meshes.get(tooth)
  if (!mesh) throw new Error(`no crown ${tooth}`)
  return mesh
}

function middle({ positions }: Mesh): Vec3 {
  const at = (axis: number) => {
    const values = Array.from(positions).filter((_, i) => i % 3 === axis)
    return values.reduce((sum, v) => sum + v, 0) / values.length
  }
  return [at(0), at(1), at(2)]
}

/** The normal of the parabola z = a - b x^2 that fits an arch best, at the place of a tooth. */
function outward(arch: readonly Vec3[], at: Vec3): Vec3 {
  const squares = arch.map(([x]) => x * x)
  const mean = (values: readonly number[]) => values.reduce((sum, v) => sum + v, 0) / values.length
  const [s, z] = [mean(squares), mean(arch.map((p) => p[2]))]
  const slope =
    mean(arch.map((p, i) => (squares[i] - s) * (p[2] - z))) / mean(squares.map((square) => (square - s) ** 2))
  return [-2 * slope * at[0], 0, 1]
}
