import { writeFile } from 'node:fs/promises'
import {
  type Assessment,
  defaultDeficitGraft,
  type Finding,
  type GraftedMargin,
  type GraftMeshes,
  type Mesh,
  type Plan,
  plannedGraftMeshes,
} from '@alveometer/core'
import { assessed, modeOf, openPlan } from './assess.js'
import { type CommandLine, optional, required, UsageError } from './command-line.js'
import { openScan } from './scan-source.js'
import { stlFile } from './stl-file.js'

/** The part of an assessment that tells of the graft. */
export interface GraftReport
  extends Pick<Assessment, 'schema' | 'version' | 'scan' | 'graft' | 'graftNeeded'> {
  /** The margins without the graft. */
  readonly before: GraftedMargin
  readonly findings: readonly Finding[]
  readonly cautions: readonly string[]
}

/** What a plan's graft comes to and changes; --mesh and --kept write its surfaces. */
export async function graft(line: CommandLine): Promise<GraftReport> {
  const planPath = required(line, 'plan')
  const plan = withSomeGraft(await openPlan(planPath))
  const { volume } = await openScan(line)
  const { schema, version, scan, graft, graftNeeded, margin, findings, cautions } = await assessed(
    line,
    volume,
    plan,
    planPath,
  )
  await writeMeshes(line, () => plannedGraftMeshes(volume, plan, { mode: modeOf(line) }))
  const { minimum, radialMm, sectors, dehiscences, fenestrations, dehiscenceMm, fenestrationMm2, inBone } =
    margin
  return {
    ...{ schema, version, scan, graft, graftNeeded },
    before: { minimum, radialMm, sectors, dehiscences, fenestrations, dehiscenceMm, fenestrationMm2, inBone },
    findings: findings.filter(({ code }) => code === 'graft' || code.startsWith('graft-')),
    cautions,
  }
}

function withSomeGraft(plan: Plan): Plan {
  if (plan.graft !== undefined) return plan
  const graft = defaultDeficitGraft(plan.site.tooth, plan.limits)
  console.error(
    `note: The plan has no graft: the default one is reckoned, bone to ${graft.facialMm} mm facially and ${graft.otherMm} mm on the other sides from the platform on.`,
  )
  return { ...plan, graft }
}

async function writeMeshes(line: CommandLine, made: () => GraftMeshes | null): Promise<void> {
  const paths = { built: optional(line, 'mesh'), kept: optional(line, 'kept') }
  if (paths.built === undefined && paths.kept === undefined) return
  const meshes = made()
  if (meshes === null)
    throw new UsageError(
      'nothing is to be grafted here, so there is no mesh: bone reaches as far already, or data is missing. Leave --mesh and --kept out.',
    )
  if (paths.built !== undefined) await writeMesh(paths.built, meshes.built, 'Graft as built')
  if (paths.kept !== undefined) await writeMesh(paths.kept, meshes.kept, 'Graft kept')
}

async function writeMesh(path: string, mesh: Mesh, what: string): Promise<void> {
  try {
    await writeFile(path, stlFile(mesh, `${what}. Unit mm. Space LPS: +x left, +y posterior, +z superior.`))
  } catch {
    throw new UsageError(`${path}: cannot be written. Check that the folder is there and may be written to.`)
  }
}
