import { distance, length, type Vec3 } from '@alveometer/core'
import type { ReportEntry } from '../report/index.js'
import { warn } from '../report/index.js'
import type { Directions } from './header.js'
import type { NiftiFields } from './nifti-fields.js'

/** Index to world as NIfTI has it: x to the right, y to the front, z up, in the unit of the file. */
export interface NiftiAffine {
  readonly form: 'sform' | 'qform'
  readonly steps: Directions
  readonly origin: Vec3
}

/** Of the two forms a header may give the sform counts, as in nifti1.h (method 3 before 2). Null when it gives none. */
export const affineOf = (fields: NiftiFields): NiftiAffine | null =>
  fields.sformCode > 0 ? sformOf(fields) : fields.qformCode > 0 ? qformOf(fields) : null

function sformOf({ rows }: NiftiFields): NiftiAffine {
  const column = (c: number): Vec3 => [rows[c], rows[4 + c], rows[8 + c]]
  return { form: 'sform', steps: [column(0), column(1), column(2)], origin: column(3) }
}

/** A rotation as unit quaternion, the voxel size, and the side of the third axis in pixdim[0] (nifti1.h, method 2). */
function qformOf({ quaternion, pixdim, offset }: NiftiFields): NiftiAffine {
  const [b, c, d] = quaternion
  const a = Math.sqrt(Math.max(0, 1 - (b * b + c * c + d * d)))
  const norm = Math.hypot(a, b, c, d)
  const [x, y, z] = rotation(a / norm, b / norm, c / norm, d / norm)
  const [i, j, k] = [pixdim[1], pixdim[2], pixdim[3] * (pixdim[0] < 0 ? -1 : 1)]
  const times = (v: Vec3, f: number): Vec3 => [v[0] * f, v[1] * f, v[2] * f]
  return { form: 'qform', steps: [times(x, i), times(y, j), times(z, k)], origin: offset }
}

/** The columns of the rotation matrix of a unit quaternion. */
const rotation = (a: number, b: number, c: number, d: number): Directions => [
  [a * a + b * b - c * c - d * d, 2 * (b * c + a * d), 2 * (b * d - a * c)],
  [2 * (b * c - a * d), a * a + c * c - b * b - d * d, 2 * (c * d + a * b)],
  [2 * (b * d + a * c), 2 * (c * d - a * b), a * a + d * d - b * b - c * c],
]

/** Right, anterior, superior to left, posterior, superior: a half turn about z, never a mirror. */
export const rasToLps = ([x, y, z]: Vec3): Vec3 => [-x, -y, z]

/** Where both forms are given they should place every voxel alike; a tenth of a millimetre is where it would matter. */
const FORMS_AGREE_MM = 0.1

export function checkForms(file: string, fields: NiftiFields, shape: Vec3, mmPerUnit: number): ReportEntry[] {
  const report: ReportEntry[] = []
  if (fields.sformCode >= 3)
    report.push(
      warn(
        'template-space',
        `${file} was fitted to a standard head (sform code ${fields.sformCode}): its lengths may not be the patient's. Use the volume before that fit.`,
        [file],
      ),
    )
  if (fields.sformCode <= 0 || fields.qformCode <= 0) return report
  const apart = mmPerUnit * farthest(sformOf(fields), qformOf(fields), shape)
  if (!(apart <= FORMS_AGREE_MM))
    report.push(
      warn(
        'two-orientations',
        `${file} gives two orientations (sform and qform) that place voxels up to ${apart.toFixed(1)} mm apart; the sform was taken. Compare left and right with another source.`,
        [file],
        { largestMm: Number(apart.toFixed(2)) },
      ),
    )
  return report
}

function farthest(a: NiftiAffine, b: NiftiAffine, shape: Vec3): number {
  const at = ({ steps, origin }: NiftiAffine, corner: number): Vec3 => {
    const index = shape.map((n, axis) => ((corner >> axis) & 1) * (n - 1))
    const along = (row: 0 | 1 | 2) =>
      steps.reduce((sum, step, axis) => sum + step[row] * index[axis], origin[row])
    return [along(0), along(1), along(2)]
  }
  return Math.max(...Array.from({ length: 8 }, (_, corner) => distance(at(a, corner), at(b, corner))))
}

/** The lengths of the steps along each axis, in the unit of the file. */
export const stepLengths = ([x, y, z]: Directions): Vec3 => [length(x), length(y), length(z)]
