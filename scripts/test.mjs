// `npm test`: every check there is, all of them even when one fails, and one line of counts at the end.
import { mkdtempSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import process from 'node:process'
import { checkBoundaries } from './boundaries.mjs'
import { provideBrowser } from './browser.mjs'
import { ensurePage } from './page.mjs'
import { ensureSample } from './sample.mjs'
import { setUp } from './setup.mjs'
import { biome, listFiles, readIfThere, Trouble, tsc, vitest } from './workspace.mjs'

/** @type {{ name: string, passed: boolean, seconds: number }[]} */
const steps = []

/** Runs one step and remembers how it went; a failing one does not keep the others from running. */
async function step(/** @type {string} */ name, /** @type {() => Promise<number | void>} */ work) {
  console.log(`\n== ${name}`)
  const start = performance.now()
  let passed = false
  try {
    passed = !(await work())
  } catch (error) {
    console.error(error instanceof Trouble ? error.message : error)
  }
  steps.push({ name, passed, seconds: (performance.now() - start) / 1000 })
}

async function boundaries() {
  const { files, problems } = await checkBoundaries()
  for (const { file, line, message } of problems) console.error(`${file}:${line}: ${message}`)
  console.log(`${files} files, ${problems.length} problems`)
  return problems.length
}

/**
 * Runs all vitest projects, or without a browser only the one that needs none.
 * @param {string | undefined} browser
 * @returns {Promise<{ passed: number, failed: number, skipped: number }>}
 */
async function runTests(browser) {
  const folder = mkdtempSync(join(tmpdir(), 'alveometer-test-'))
  const file = join(folder, 'result.json')
  const code = await vitest(
    [
      'run',
      '--reporter=default',
      '--reporter=json',
      `--outputFile.json=${file}`,
      ...(browser ? [] : ['--project', 'node']),
      ...process.argv.slice(2),
    ],
    { env: { ...process.env, ...(browser ? { CHROMIUM_PATH: browser } : {}) } },
  )
  const text = readIfThere(file)
  rmSync(folder, { recursive: true, force: true })
  const result = text ? JSON.parse(text) : undefined
  const passed = result?.numPassedTests ?? 0
  const skipped = (result?.numPendingTests ?? 0) + (result?.numTodoTests ?? 0)
  // A file that does not even load has no test in it that could fail.
  const unloadable = (result?.testResults ?? []).filter(
    (/** @type {{ status: string, assertionResults: unknown[] }} */ suite) =>
      suite.status === 'failed' && suite.assertionResults.length === 0,
  ).length
  const failed = (result?.numFailedTests ?? 0) + unloadable
  // An error outside any test, or a crash of the runner, shows in the exit code alone.
  return { passed, failed: failed || (code === 0 ? 0 : 1), skipped }
}

await setUp()
await step('build', () => tsc(['-b']))
await step('types of the tests', () => tsc(['-p', 'tests/tsconfig.json']))
await step('format and lint', () => biome(['check', '.']))
await step('boundaries', boundaries)
await step('sample scan', ensureSample)
await step('page', ensurePage)

console.log('\n== tests')
const browser = await provideBrowser()
if (browser) console.log(`Browser: ${browser}`)
const tests = await runTests(browser)

console.log('')
for (const { name, passed, seconds } of steps)
  console.log(`${passed ? 'ok    ' : 'FAILED'} ${name} (${seconds.toFixed(1)} s)`)
if (!browser) {
  const left = listFiles(['packages', 'apps']).filter((file) => file.endsWith('.browser.test.ts')).length
  console.log(
    `No browser could be had, so the ${left} test files that need one did not run. ` +
      'Install Chromium, or name one in CHROMIUM_PATH, and run npm test again.',
  )
  tests.skipped += left
  if (process.env.CI === 'true') steps.push({ name: 'browser', passed: false, seconds: 0 })
}
const passedSteps = steps.filter((it) => it.passed).length
console.log(`${tests.passed} tests and ${passedSteps} of ${steps.length} steps passed.`)
const failed = tests.failed + steps.length - passedSteps
process.exitCode = failed === 0 ? 0 : 1
console.log(`${tests.passed + passedSteps} passed, ${failed} failed, ${tests.skipped} skipped`)
