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

/** What stderr says of an assessment: its cautions, line by line. */
const cautionsOf = ({ findings }: Assessment): string =>
  findings
    .filter(({ level }) => level === 'caution')
    .map(({ text }) => `caution: ${text}\n`)
    .join('')

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
    const { volume } = await loadScan(await inputsFromPath(scan))
    const assessment = assess(volume, readPlan(readFileSync(planPath, 'utf8')))
    expect(json()).toEqual(JSON.parse(JSON.stringify(assessment)))
    expect(json().margin.mode).toBe('fast')
    expect(stderr).toBe(cautionsOf(assessment))
  })

  test('assess --refined prints the refined measurement of the library', async () => {
    const planPath = join(folder, 'front', 'plan-opening.json')
    const { status, json, stderr } = alveometer('assess', '--scan', scan, '--plan', planPath, '--refined')
    expect(status).toBe(0)
    const { volume } = await loadScan(await inputsFromPath(scan))
    const assessment = assess(volume, readPlan(readFileSync(planPath, 'utf8')), { mode: 'refined' })
    expect(json()).toEqual(JSON.parse(JSON.stringify(assessment)))
    expect(json().margin.mode).toBe('refined')
    expect(json().margin.cortexMm).toHaveLength(41)
    expect(stderr).toBe(cautionsOf(assessment))
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
      /there is no command "measure"; there are inspect, probe, assess, graft, crown, tilt-chart, ways-out, miss-cloud, phantom/,
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

  describe('a scan read in another way', () => {
    const grey = (json: { points: readonly { grey: number | null }[] }) => json.points.map((p) => p.grey)
    const places = chiralMarks.map(({ world }) => world.join(',')).join(';')
    const probeP0 = (...args: string[]) =>
      alveometer('probe', '--scan', join(folder, 'p0.zip'), '--points', places, ...args)

    test('--half: voxels of twice the size, said on stderr and beside the numbers', () => {
      const { status, json, stderr } = probeP0('--half')
      expect(status).toBe(0)
      for (const mm of json().scan.spacingMm) expect(mm).toBeCloseTo(0.6, 9)
      expect(json().scan.remarks.map(({ code }: { code: string }) => code)).toEqual(['half-resolution'])
      expect(stderr).toMatch(/^warn: Loaded at half resolution/)
    })

    test('--region: the same grey inside it, none outside', () => {
      const { json, stderr } = probeP0('--region', '0,0,0,32,32,16')
      expect(stderr).toBe('')
      expect(json().scan.remarks).toMatchObject([{ level: 'note', code: 'region-loaded' }])
      const whole = grey(probeP0().json())
      const part = grey(json())
      const inside = chiralMarks.map(({ world }) => world[2] < 15 * 0.3)
      expect(new Set(inside)).toEqual(new Set([true, false]))
      expect(part).toEqual(whole.map((v, n) => (inside[n] ? v : null)))
    })

    test('a region that is no box, or not inside the scan', () => {
      const half = probeP0('--region', '0,0,0,32,32')
      expect(half.status).toBe(2)
      expect(half.stderr).toMatch(/--region: "0,0,0,32,32" is not i0,j0,k0,i1,j1,k1/)
      const beyond = probeP0('--region', '0,0,0,32,32,99')
      expect(beyond.status).toBe(2)
      expect(beyond.stderr).toMatch(/The region .* is not inside the scan of 32 x 32 x 24 voxels/)
    })

    test('assess on half resolution: warned once on stderr, a caution and a remark in the JSON', () => {
      const plan = join(folder, 'front', 'plan-opening.json')
      const { status, json, stderr } = alveometer('assess', '--scan', scan, '--plan', plan, '--half')
      expect(status).toBe(0)
      expect(stderr.match(/half resolution/g)).toHaveLength(1)
      const { scan: about, findings }: Assessment = json()
      expect(about.remarks.map(({ code }) => code)).toContain('half-resolution')
      expect(findings.find(({ code }) => code === 'scan-half-resolution')?.level).toBe('caution')
    })

    describe('--answers', () => {
      const bare = () => join(folder, 'bare.zip')
      const answers = (name: string, content: unknown): string => {
        const path = join(folder, name)
        writeFileSync(path, typeof content === 'string' ? content : JSON.stringify(content))
        return path
      }
      beforeAll(() => {
        const overrides = { PixelSpacing: undefined, ImageOrientationPatient: undefined }
        writeFileSync(bare(), zipSeries(writeSeries(chiralPhantom(), { storage: chiralStorage, overrides })))
      })
      const orientation = { row: [1, 0, 0], column: [0, 1, 0], slice: [0, 0, 1] }

      test('geometry the files lack is asked for, with the option that gives it', () => {
        const { status, stderr } = alveometer('probe', '--scan', bare(), '--points', places)
        expect(status).toBe(2)
        expect(stderr).toMatch(/Here: --answers FILE\.json, see alveometer --help\.$/m)
      })

      test('confirmed by the file it is measured, and with every number stands that it was', () => {
        const path = answers('answers.json', {
          pixelSpacingMm: [0.3, 0.3],
          orientation,
          how: { 'pixel-spacing': 'known-length' },
        })
        const { status, json, stderr } = alveometer(
          ...['probe', '--scan', bare(), '--points', places, '--answers', path],
        )
        expect(status).toBe(0)
        expect(grey(json())).toEqual(grey(probeP0().json()))
        expect(json().scan.confirmed).toEqual({
          pixelSpacingMm: [0.3, 0.3],
          orientation,
          how: { 'pixel-spacing': 'known-length', orientation: 'typed' },
        })
        expect(stderr).toMatch(/^warn: .*[Cc]onfirmed by a person/)
        const { series } = alveometer('inspect', bare(), '--answers', path).json()
        expect(series[0]).toMatchObject({ usable: true, spacingMm: [0.3, 0.3, 0.3] })
        expect(alveometer('inspect', bare()).json().series[0].usable).toBe(false)
      })

      for (const [content, says] of [
        ['{"sliceStepMm":', /wrong\.json: is not JSON/],
        [[1], /wrong\.json: must hold an object/],
        [{}, /wrong\.json: the file answers nothing: give pixelSpacingMm, sliceStepMm or orientation/],
        [{ sliceStep: 0.3 }, /wrong\.json: sliceStep is no answer; there are pixelSpacingMm/],
        [{ sliceStepMm: '0.3' }, /wrong\.json: sliceStepMm must be a length in mm/],
        [{ pixelSpacingMm: [0.3] }, /wrong\.json: pixelSpacingMm must be two lengths in mm/],
        [{ orientation: { row: [1, 0, 0] } }, /wrong\.json: orientation must be \{row, column, slice\}/],
        [
          { sliceStepMm: 0.3, how: { 'slice-step': 'guessed' } },
          /wrong\.json: how must name, for pixel-spacing/,
        ],
      ] as const)
        test(`${JSON.stringify(content)} is refused`, () => {
          const path = answers('wrong.json', content)
          const { status, stdout, stderr } = alveometer('inspect', bare(), '--answers', path)
          expect(status).toBe(2)
          expect(stdout).toBe('')
          expect(stderr).toMatch(says)
        })
    })
  })

  test('--version and --help', () => {
    expect(alveometer('--version').stdout.trim()).toBe('0.1.0')
    expect(alveometer('--help').status).toBe(0)
  })
})
