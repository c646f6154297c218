import type { Crown, CrownRegion } from '../src/crown/index.js'
import { corners, cross, dot, type Mesh, normalize, subtract, type Vec3 } from '../src/space/index.js'
import { block } from './block-crown.js'

/** A crown of a mesh with flat sides whose faces are told by their normals alone and whose edge line runs over its middle, +y mesial. */
export function boxCrown(lengthMm: number, half = 12, mesh: Mesh = block(lengthMm, half)): Crown {
  const shares = Array.from({ length: 25 }, (_, i) => 0.9 - (1.8 * i) / 24)
  const edge = shares.map((share): Vec3 => [0, share * half, -lengthMm])
  return {
    tooth: '11',
    mesh,
    regions: Array.from({ length: mesh.triangles.length / 3 }, (_, t) => faceOf(mesh, t)),
    lengthMm,
    edge,
    occlusalTable: null,
    cejCurve: [
      [half, -half, 0],
      [half, half, 0],
      [-half, half, 0],
      [-half, -half, 0],
    ],
    landmarks: {
      mesialContact: [0, half, -lengthMm / 2],
      distalContact: [0, -half, -lengthMm / 2],
      facialContour: [half, 0, -lengthMm / 2],
      oralContour: [-half, 0, -lengthMm / 2],
      edgeCentre: edge[12],
      edgeMesial: edge[0],
      edgeDistal: edge[24],
      zenith: [half, 0, 0],
    },
  }
}

const FACES: readonly (readonly [Vec3, CrownRegion])[] = [
  [[1, 0, 0], 'facial'],
  [[-1, 0, 0], 'oral'],
  [[0, 1, 0], 'mesial'],
  [[0, -1, 0], 'distal'],
  [[0, 0, -1], 'edge'],
  [[0, 0, 1], 'base'],
]

function faceOf(mesh: Mesh, t: number): CrownRegion {
  const [a, b, c] = corners(mesh, t)
  const across = cross(subtract(b, a), subtract(c, a))
  if (dot(across, across) === 0) return 'oral'
  const normal = normalize(across)
  return FACES.reduce((best, face) => (dot(face[0], normal) > dot(best[0], normal) ? face : best))[1]
}
