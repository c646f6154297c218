// Makes the sample scan with a known answer: generated from its recipe, never stored in the repository.
import { existsSync, mkdirSync, renameSync, rmSync, writeFileSync } from 'node:fs'
import { dirname, join } from 'node:path'
import process from 'node:process'
import { hashFiles, isMain, readIfThere, root, runMain, Trouble, tsc, withLock } from './workspace.mjs'

/** Where the sample scan lies: upper-front.zip, truth.json, plan-1.json and so on. */
export const sampleFolder = join(root, 'sample-volumes', 'generated', 'upper-front')

/** What decides how the sample looks; when one of these changes it is made anew. */
const recipe = [
  'sample-volumes',
  'packages/phantom/src',
  ...['space', 'volume', 'fixture', 'crown', 'plan'].map((folder) => `packages/core/src/${folder}`),
  'scripts/sample.mjs',
]

/** Makes the sample scan unless it is there already, made from the same recipe by the same generator. */
export async function ensureSample() {
  const stamp = join(sampleFolder, '.recipe')
  const wanted = hashFiles(recipe)
  if (readIfThere(stamp) === wanted && existsSync(join(sampleFolder, 'upper-front.zip'))) return
  await withLock('sample', async () => {
    if (readIfThere(stamp) === wanted) return
    console.log('Making the sample scan ...')
    const { writeUpperFront } = await import('@alveometer/phantom/node')
    if (typeof writeUpperFront !== 'function') {
      throw new Trouble(
        'The built package @alveometer/phantom/node has no writeUpperFront: run `npm run build`.',
      )
    }
    // Made beside its place and then moved, so that nobody ever reads half a scan.
    const fresh = `${sampleFolder}.${process.pid}`
    rmSync(fresh, { recursive: true, force: true })
    mkdirSync(fresh, { recursive: true })
    try {
      await writeUpperFront(fresh, {})
      writeFileSync(join(fresh, '.recipe'), `${wanted}\n`)
      rmSync(sampleFolder, { recursive: true, force: true })
      mkdirSync(dirname(sampleFolder), { recursive: true })
      renameSync(fresh, sampleFolder)
    } finally {
      rmSync(fresh, { recursive: true, force: true })
    }
  })
}

if (isMain(import.meta.url)) {
  await runMain(async () => {
    if ((await tsc(['-b'])) !== 0) return 1
    await ensureSample()
    console.log(sampleFolder)
    return 0
  })
}
