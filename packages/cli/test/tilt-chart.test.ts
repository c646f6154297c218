import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import process from 'node:process'
import { fileURLToPath } from 'node:url'
import { boneModel, chartSpec, exploredSite, readPlan, tiltChart } from '@alveometer/core'
import { loadScan } from '@alveometer/scan'
import { inputsFromPath } from '@alveometer/scan/node'
import { afterAll, beforeAll, describe, expect, test } from 'vitest'

const bin = join(dirname(fileURLToPath(import.meta.url)), '..', 'bin', 'alveometer.js')

function alveometer(...args: string[]) {
  const { status, stdout, stderr } = spawnSync(process.execPath, [bin, ...args], {
    encoding: 'utf8',
    maxBuffer: 2 ** 28,
  })
  return { status, stdout, stderr, json: () => JSON.parse(stdout) }
}

describe('alveometer tilt-chart', () => {
  let folder: string
  let scan: string
  let plan: string
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'alveometer-tilt-chart-'))
    expect(alveometer('phantom', '--out', folder, '--voxel', '0.4').status).toBe(0)
    scan = join(folder, 'upper-front.zip')
    plan = join(folder, 'plan-opening.json')
  }, 120_000)
  afterAll(() => rmSync(folder, { recursive: true }))

  test('prints the chart that the library makes', async () => {
    const asked = ['--kind', 'depth', '--pivot', 'apex', '--columns=-10,10,5', '--rows=-1,2,4']
    const { status, stderr, json } = alveometer('tilt-chart', '--scan', scan, '--plan', plan, ...asked)
    expect(status, stderr).toBe(0)
    const { volume } = await loadScan(await inputsFromPath(scan))
    const site = exploredSite(boneModel(volume), readPlan(readFileSync(plan, 'utf8')))
    const spec = chartSpec('depth', 'apex', {
      columns: { from: -10, to: 10, count: 5 },
      rows: { from: -1, to: 2, count: 4 },
    })
    expect(json()).toEqual(JSON.parse(JSON.stringify(await tiltChart(site, spec))))
  })

  test.each([
    [['--kind', 'turn'], '--kind turn is unknown: use tilt, depth or shift'],
    [['--pivot', 'middle'], '--pivot middle is unknown: use platform, apex or crest'],
    [['--columns=1,2'], '--columns 1,2 is no axis'],
    [['--rows=a,2,3'], '--rows a,2,3 is no axis'],
    [['--columns=-61,30,5'], 'columns.from must lie between -60 and 60 degrees, got -61'],
    [['--rows=5,-5,5'], 'rows.from must be smaller than rows.to'],
    [['--rows=-5,5,1'], 'rows.count must be a whole number'],
  ])('%s: one line that says what to do', (options, words) => {
    const { status, stdout, stderr } = alveometer('tilt-chart', '--scan', scan, '--plan', plan, ...options)
    expect(status).toBe(2)
    expect(stdout).toBe('')
    expect(stderr).toContain(words)
  })
})
