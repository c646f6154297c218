import { spawnSync } from 'node:child_process'
import { cpSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import process from 'node:process'
import { fileURLToPath } from 'node:url'
import { type Assessment, assess, readPlan, tabulatedCrown } from '@alveometer/core'
import { chiralMarks, chiralPhantom, chiralStorage, writeSeries, zipSeries } from '@alveometer/phantom'
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

describe('alveometer', () => {
  let folder: string
  let scan: string
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'alveometer-cli-'))
    writeFileSync(join(folder, 'p0.zip'), zipSeries(writeSeries(chiralPhantom(), { storage: chiralStorage })))
    const made = alveometer('phantom', '--out', join(folder, 'front'), '--voxel', '0.5')
    expect(made.stderr).toBe('')
    expect(made.json().written).toHaveLength(5)
    scan = join(folder, 'front', 'upper-front.zip')
  })
  afterAll(() => rmSync(folder, { recursive: true }))

  test('inspect tells the series, its geometry row by row and its grey range', () => {
    const { status, json } = alveometer('inspect', join(folder, 'p0.zip'))
    expect(status).toBe(0)
    const { series, report } = json()
    expect(report).toEqual([])
    expect(series).toHaveLength(1)
    expect(series[0]).toMatchObject({ modality: 'CT', shape: [32, 32, 24], usable: true })
    expect(series[0].indexToWorld).toHaveLength(16)
    expect(series[0].indexToWorld.slice(12)).toEqual([0, 0, 0, 1])
    expect(series[0].grey).toMatchObject({ minimum: -1000, maximum: 1700 })
  })

  test('probe gives grey at points, null outside', () => {
    const marks = chiralMarks.map((mark) => mark.world)
    const points = [...marks, [500, 0, 0]].map((p) => p.join(',')).join(';')
    const { status, json } = alveometer('probe', '--scan', join(folder, 'p0.zip'), '--points', points)
    expect(status).toBe(0)
    const found = json().points
    chiralMarks.forEach((mark, n) => {
      expect(found[n].grey).toBeCloseTo(mark.grey, 6)
    })
    expect(found[chiralMarks.length].grey).toBeNull()
  })

  test('assess prints what the library measures, JSON alone on stdout', async () => {
    const planPath = join(folder, 'front', 'plan-opening.json')
    const { status, json, stderr } = alveometer('assess', '--scan', scan, '--plan', planPath)
    expect(status).toBe(0)
    expect(stderr).toBe('')
    const { volume } = await loadScan(await inputsFromPath(scan))
    expect(json()).toEqual(
      JSON.parse(JSON.stringify(assess(volume, readPlan(readFileSync(planPath, 'utf8'))))),
    )
  })

  test('assess --refined is accepted and the result says which mode it is', () => {
    const plan = join(folder, 'front', 'plan-opening.json')
    const { status, json, stderr } = alveometer('assess', '--scan', scan, '--plan', plan, '--refined')
    expect(status).toBe(0)
    expect(json().margin.mode).toBe('fast')
    expect(stderr).toMatch(/refined/)
  })

  test('a mesh crown is found beside the plan and gives the exit of the same crown', () => {
    const { mesh } = tabulatedCrown('11')
    const lines = [
      ...Array.from(
        { length: mesh.positions.length / 3 },
        (_, n) => `v ${mesh.positions.slice(3 * n, 3 * n + 3).join(' ')}`,
      ),
      ...Array.from(
        { length: mesh.triangles.length / 3 },
        (_, n) => `f ${[...mesh.triangles.slice(3 * n, 3 * n + 3)].map((v) => v + 1).join(' ')}`,
      ),
    ]
    const plan = JSON.parse(readFileSync(join(folder, 'front', 'plan-upright.json'), 'utf8'))
    const beside = join(folder, 'beside')
    cpSync(join(folder, 'front', 'plan-upright.json'), join(beside, 'tabulated.json'))
    writeFileSync(join(beside, 'crown.obj'), lines.join('\n'))
    writeFileSync(
      join(beside, 'mesh.json'),
      JSON.stringify({ ...plan, crown: { kind: 'mesh', file: 'crown.obj', pose: plan.crown.pose } }),
    )
    const of = (name: string): Assessment =>
      alveometer('assess', '--scan', scan, '--plan', join(beside, name)).json()
    const [tabulated, mesh11] = [of('tabulated.json').exit, of('mesh.json').exit]
    mesh11.point?.forEach((v, axis) => {
      expect(v).toBeCloseTo(tabulated.point?.[axis] ?? Number.NaN, 6)
    })
    expect(mesh11.class).toBe(tabulated.class)
  })

  for (const [name, args, says] of [
    ['no command', [], /alveometer inspect PATH/],
    [
      'an unknown command',
      ['measure'],
      /there is no command "measure"; there are inspect, probe, assess, phantom/,
    ],
    ['an unknown option', ['inspect', '--fast'], /--fast/],
    ['a missing option', ['assess', '--scan', 'x'], /assess needs --plan/],
    [
      'a path that is not there',
      ['inspect', 'no-such-place'],
      /no-such-place: there is no such file or folder/,
    ],
    ['points that are not numbers', ['probe', '--scan', 'x', '--points', '1,2'], /"1,2" is not x,y,z in mm/],
    [
      'a plan that is not there',
      ['assess', '--scan', 'x', '--plan', 'gone.json'],
      /gone\.json: cannot be read/,
    ],
  ] as const)
    test(`${name}: exit 2, one message, nothing on stdout`, () => {
      const { status, stdout, stderr } = alveometer(...args)
      expect(status).toBe(2)
      expect(stdout).toBe('')
      expect(stderr).toMatch(says)
      expect(stderr).not.toMatch(/\n\s+at /)
    })

  test('a plan with a fault: the file and the place in it', () => {
    const path = join(folder, 'wrong.json')
    writeFileSync(path, '{"schema":"alveometer-plan","version":1,"scan":{}}')
    const { status, stderr } = alveometer('assess', '--scan', scan, '--plan', path)
    expect(status).toBe(2)
    expect(stderr).toMatch(/wrong\.json: plan: scan\.seriesUid must be text/)
  })

  test('several series ask for --series and take it', () => {
    const both = join(folder, 'both.zip')
    const other = { storage: chiralStorage, seed: 'second', fileName: (k: number) => `second-${k}.dcm` }
    writeFileSync(
      both,
      zipSeries([
        ...writeSeries(chiralPhantom(), { storage: chiralStorage }),
        ...writeSeries(chiralPhantom(), other),
      ]),
    )
    const { series } = alveometer('inspect', both).json()
    expect(series).toHaveLength(2)
    const unclear = alveometer('probe', '--scan', both, '--points', '0,0,0')
    expect(unclear.status).toBe(2)
    expect(unclear.stderr).toContain(series[0].seriesUid)
    expect(
      alveometer('probe', '--scan', both, '--points', '0,0,0', '--series', series[1].seriesUid).status,
    ).toBe(0)
  })

  test('--version and --help', () => {
    expect(alveometer('--version').stdout.trim()).toBe('0.1.0')
    expect(alveometer('--help').status).toBe(0)
  })
})
