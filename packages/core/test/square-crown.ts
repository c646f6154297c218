import { type Crown, crownFromMesh, type Vec3 } from '../src/index.js'
import { block } from './block-crown.js'

/** A block for a crown, 10.5 mm high and `half` mm to each side, whose cervical margin is exactly the square at z = 0. */
export function squareCrown(half: number, tooth = '11'): Crown {
  const crown = crownFromMesh(block(10.5, half), tooth)
  const cejCurve: Vec3[] = [
    [half, half, 0],
    [-half, half, 0],
    [-half, -half, 0],
    [half, -half, 0],
  ]
  return { ...crown, cejCurve, landmarks: { ...crown.landmarks, zenith: [half, 0, 0] } }
}
