import { antimereOf, checkCrownSize } from '../crown/index.js'
import { checkPose } from './check-pose.js'
import { checkTooth } from './check-site.js'
import { finite, type Json, record, shown, string, vector } from './fields.js'
import type { CrownMarks, Plan } from './plan.js'
import { PlanError } from './plan-error.js'

/** The crown of a plan whose site is already checked. */
export function checkCrown(crown: Json, site: Plan['site']): void {
  if (crown.kind === 'tabulated') checkTabulated(crown, site)
  else if (crown.kind === 'mesh') checkMesh(crown, site)
  else throw new PlanError('crown.kind', `must be "tabulated" or "mesh", got ${shown(crown.kind)}`)
  checkPose(crown.pose, 'crown.pose')
}

const SIZES = ['lengthMm', 'widthMdMm', 'widthLlMm'] as const

function checkTabulated(crown: Json, site: Plan['site']): void {
  const tooth = string(crown.tooth, 'crown.tooth')
  checkTooth(tooth, 'crown.tooth')
  if (tooth !== site.tooth)
    throw new PlanError('crown.tooth', `is ${tooth} but site.tooth is ${site.tooth}: choose one`)
  if (crown.size === undefined) return
  const size = record(crown.size, 'crown.size')
  for (const name of SIZES) {
    if (size[name] === undefined) continue
    const mm = finite(size[name], `crown.size.${name}`)
    try {
      checkCrownSize(tooth, { [name]: mm })
    } catch (cause) {
      throw new PlanError(`crown.size.${name}`, `cannot be used: ${messageOf(cause)}`)
    }
  }
}

/** Every mark a person can set: the compiler names the one that is missing here. */
const MARKS: Readonly<Record<keyof CrownMarks, true>> = {
  edgeMesial: true,
  edgeDistal: true,
  mesialContact: true,
  distalContact: true,
  zenith: true,
}

function checkMesh(crown: Json, site: Plan['site']): void {
  if (string(crown.file, 'crown.file') === '')
    throw new PlanError('crown.file', 'must not be empty: name the mesh file')
  if (crown.fingerprint !== undefined) string(crown.fingerprint, 'crown.fingerprint')
  if (crown.tooth !== undefined) {
    const tooth = string(crown.tooth, 'crown.tooth')
    checkTooth(tooth, 'crown.tooth')
    const other = antimereOf(site.tooth)
    if (tooth !== site.tooth && tooth !== other)
      throw new PlanError(
        'crown.tooth',
        `is ${tooth}, but a mesh for site.tooth ${site.tooth} can only be of ${site.tooth} or, mirrored, of ${other}: choose another mesh or leave it out`,
      )
  }
  if (crown.unitMm !== undefined) {
    const unit = finite(crown.unitMm, 'crown.unitMm')
    if (unit <= 0)
      throw new PlanError(
        'crown.unitMm',
        `must be more than 0, got ${unit}: the millimetres in a unit of the file, 1 or 25.4 for inches`,
      )
  }
  if (crown.space !== undefined && crown.space !== 'lps' && crown.space !== 'ras')
    throw new PlanError('crown.space', `must be "lps" or "ras", got ${shown(crown.space)}`)
  if (crown.frame !== undefined) checkPose(crown.frame, 'crown.frame')
  if (crown.marks === undefined) return
  const marks = record(crown.marks, 'crown.marks')
  for (const name of Object.keys(MARKS))
    if (marks[name] !== undefined) vector(marks[name], `crown.marks.${name}`)
}

const messageOf = (cause: unknown): string => (cause instanceof Error ? cause.message : String(cause))
