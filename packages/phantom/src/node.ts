import { mkdir, writeFile } from 'node:fs/promises'
import { join } from 'node:path'
import { type UpperFront, type UpperFrontOptions, upperFront, writeSeries, zipSeries } from './index.js'

export interface WriteOptions extends Partial<UpperFrontOptions> {
  /** One zip (default) or a folder of slices, beside the plans and the answers. */
  readonly as?: 'zip' | 'folder'
}

/**
 * Makes the upper front scene and writes it into a folder (made if need be): `upper-front.zip` or `upper-front/`,
 * `truth.json`, `plan-opening.json`, `plan-leaning.json`, `plan-upright.json`. Resolves to the scene and the paths written.
 */
export async function writeUpperFront(
  directory: string,
  options: WriteOptions = {},
): Promise<{ scene: UpperFront; paths: readonly string[] }> {
  const { as = 'zip', ...scene } = options
  const made = upperFront(scene)
  const files = writeSeries(made.volume, {
    seed: made.truth.options.seed,
    patientName: 'Phantom^Upper front',
    patientId: 'PHANTOM-1',
    seriesDescription: 'Upper front, tooth 11 missing',
  })
  const entries: [path: string, content: Uint8Array | string][] =
    as === 'zip'
      ? [['upper-front.zip', zipSeries(files, { folder: 'upper-front', level: 0 })]]
      : files.map((file) => [join('upper-front', file.name), file.bytes])
  entries.push(['truth.json', truthText(made)])
  for (const { name, plan } of made.plans)
    entries.push([`plan-${name}.json`, `${JSON.stringify(plan, null, 2)}\n`])
  await mkdir(as === 'zip' ? directory : join(directory, 'upper-front'), { recursive: true })
  const paths = entries.map(([path]) => join(directory, path))
  await Promise.all(entries.map(([path, content]) => writeFile(join(directory, path), content)))
  return { scene: made, paths }
}

/** One line per ray row keeps the file small and still readable in a difference. */
export function truthText(scene: UpperFront): string {
  const rows = JSON.stringify(scene.truth)
  return `${rows.replaceAll('],[', '],\n[').replaceAll('},{', '},\n{')}\n`
}
