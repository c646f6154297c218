import { spawnSync } from 'node:child_process'
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import process from 'node:process'
import { fileURLToPath } from 'node:url'
import { assess, importMesh, type Plan, readPlan, vertex } from '@alveometer/core'
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

const DEFICIT: Plan['graft'] = {
  kind: 'deficit',
  facialMm: 2,
  otherMm: 1,
  fromDepthMm: 0,
  natural: false,
  loss: { kind: 'share', share: 0.2 },
  overbuilt: false,
}

describe('alveometer graft', () => {
  let folder: string
  let scan: string
  const planned = (graft?: Plan['graft']): string => {
    const plan = JSON.parse(readFileSync(join(folder, 'plan-upright.json'), 'utf8'))
    const path = join(folder, 'plan.json')
    writeFileSync(path, JSON.stringify({ ...plan, ...(graft === undefined ? {} : { graft }) }))
    return path
  }
  beforeAll(() => {
    folder = mkdtempSync(join(tmpdir(), 'alveometer-graft-'))
    expect(alveometer('phantom', '--out', folder, '--voxel', '0.4').status).toBe(0)
    scan = join(folder, 'upper-front.zip')
  })
  afterAll(() => rmSync(folder, { recursive: true }))

  test('prints the part of the assessment that tells of the graft', async () => {
    const path = planned(DEFICIT)
    const { status, json } = alveometer('graft', '--scan', scan, '--plan', path)
    expect(status).toBe(0)
    const { volume } = await loadScan(await inputsFromPath(scan))
    const { graft, graftNeeded, margin, findings } = assess(volume, readPlan(readFileSync(path, 'utf8')))
    const printed = json()
    const plain = (value: unknown) => JSON.parse(JSON.stringify(value))
    expect(printed.graft).toEqual(plain(graft))
    expect(printed.graftNeeded).toEqual(plain(graftNeeded))
    expect(printed.before.minimum).toEqual(plain(margin.minimum))
    expect(printed.findings).toEqual(plain(findings.filter(({ code }) => code.startsWith('graft'))))
    expect(printed.graft.built.volumeMm3).toBeGreaterThan(0)
  })

  test('a plan without a graft gets the default one, and stderr says so', () => {
    const { status, json, stderr } = alveometer('graft', '--scan', scan, '--plan', planned())
    expect(status).toBe(0)
    expect(stderr).toMatch(
      /^note: The plan has no graft: .* 2 mm facially and 1 mm on the other sides from the platform on\.$/m,
    )
    expect(json().graft.spec).toMatchObject({ kind: 'deficit', facialMm: 2, otherMm: 1, overbuilt: true })
  })

  test('writes both surfaces: closed, binary STL, mm, LPS, the volume within 1 %', () => {
    const [mesh, kept] = ['built.stl', 'kept.stl'].map((name) => join(folder, name))
    const path = planned(DEFICIT)
    const { status, json } = alveometer(
      ...['graft', '--scan', scan, '--plan', path, '--mesh', mesh, '--kept', kept],
    )
    expect(status).toBe(0)
    const { graft } = json()
    const { fixture } = readPlan(readFileSync(path, 'utf8'))
    for (const [file, size] of [
      [mesh, graft.built],
      [kept, graft.kept],
    ]) {
      const bytes = readFileSync(file)
      const header = bytes.subarray(0, 80).toString('latin1')
      expect(header).toMatch(/mm.*LPS/)
      expect(header).not.toMatch(/^solid/)
      const read = importMesh(bytes, file)
      expect(read.format).toBe('stl-binary')
      expect(read.facts.closed).toBe(true)
      expect(Math.abs((read.facts.volumeMm3 ?? Number.NaN) / size.volumeMm3 - 1)).toBeLessThan(0.01)
      // In the patient: beside the fixture.
      vertex(read.mesh, 0).forEach((v, axis) => {
        expect(Math.abs(v - fixture.platform[axis])).toBeLessThan(25)
      })
    }
  })

  test('nothing to graft: no mesh is written, exit 2, one line', () => {
    const path = planned({ ...DEFICIT, facialMm: 0.5, otherMm: 0, fromDepthMm: 12 })
    const printed = alveometer('graft', '--scan', scan, '--plan', path)
    expect(printed.json().graft).toBeNull()
    const { status, stdout, stderr } = alveometer(
      ...['graft', '--scan', scan, '--plan', path, '--mesh', join(folder, 'none.stl')],
    )
    expect(status).toBe(2)
    expect(stdout).toBe('')
    expect(stderr).toMatch(/^alveometer: nothing is to be grafted here/m)
  })

  test('a folder that is not there: exit 2 and the path', () => {
    const path = join(folder, 'gone', 'graft.stl')
    const { status, stderr } = alveometer(
      ...['graft', '--scan', scan, '--plan', planned(DEFICIT), '--mesh', path],
    )
    expect(status).toBe(2)
    expect(stderr).toContain(`alveometer: ${path}: cannot be written`)
  })

  test('a graft with a fault is named by its place in the plan', () => {
    const path = planned({ ...DEFICIT, facialMm: 20 })
    const { status, stderr } = alveometer('graft', '--scan', scan, '--plan', path)
    expect(status).toBe(2)
    expect(stderr).toMatch(/plan\.json: plan: graft\.facialMm must be 0\.5 to 6 mm, got 20/)
    expect(stderr.trim().split('\n')).toHaveLength(1)
  })
})
