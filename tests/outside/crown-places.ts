import type { Mat4, Vec3 } from '@alveometer/core'
import { invert, transformPoint } from '../../packages/core/src/space/index.js'

/** A place of LPS space in the frame of a crown with this pose. */
export const inCrown = (pose: Mat4, p: Vec3): Vec3 => transformPoint(invert(pose), p)
