import { writeUpperFront } from '@alveometer/phantom/node'
import { type CommandLine, optional, required, UsageError } from './command-line.js'

/** Writes the upper front sample into a folder and tells what was written. */
export async function phantom(line: CommandLine): Promise<unknown> {
  const voxel = optional(line, 'voxel')
  const voxelMm = voxel === undefined ? undefined : Number(voxel)
  if (voxelMm !== undefined && !(voxelMm >= 0.1 && voxelMm <= 1))
    throw new UsageError(`--voxel must be 0.1 to 1 mm, got ${voxel}`)
  const as = optional(line, 'as') ?? 'zip'
  if (as !== 'zip' && as !== 'folder') throw new UsageError(`--as must be zip or folder, got ${as}`)
  const seed = optional(line, 'seed')
  const { paths } = await writeUpperFront(required(line, 'out'), {
    as,
    ...(seed === undefined ? {} : { seed }),
    ...(voxelMm === undefined ? {} : { voxelMm }),
  })
  return { written: paths }
}
