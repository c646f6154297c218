import { mkdtempSync, readdirSync, readFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { unzipSync } from 'fflate'
import { describe, expect, it } from 'vitest'
import * as phantom from '../src/index.js'
import { writeUpperFront } from '../src/node.js'
import { noValidator, validate } from './outside.js'

const samples = new URL('../../../sample-volumes/upper-front/', import.meta.url)
const stored = (name: string): unknown => JSON.parse(readFileSync(new URL(name, samples), 'utf8'))

describe('writeUpperFront', () => {
  it.skipIf(noValidator)('writes a valid series, three plans for it and the truth', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'phantom-'))
    const { scene, paths } = await writeUpperFront(folder, { voxelMm: 1, as: 'folder' })
    expect(paths.length).toBe(45 + 4)
    expect(readdirSync(folder).sort()).toEqual([
      ...['plan-leaning.json', 'plan-opening.json', 'plan-upright.json', 'truth.json', 'upper-front'],
    ])
    expect(validate(join(folder, 'upper-front', 'IM0020.dcm'))).toEqual({ errors: [], code: 0 })
    const plan = JSON.parse(readFileSync(join(folder, 'plan-upright.json'), 'utf8'))
    expect(plan.scan).toEqual(scene.volume.identity)
    expect(JSON.parse(readFileSync(join(folder, 'truth.json'), 'utf8')).fixtures.length).toBe(3)
  })

  it('zips the same files', async () => {
    const folder = mkdtempSync(join(tmpdir(), 'phantom-'))
    await writeUpperFront(folder, { voxelMm: 2 })
    const names = Object.keys(unzipSync(readFileSync(join(folder, 'upper-front.zip'))))
    expect(names.length).toBe(23)
    expect(names[0]).toBe('upper-front/IM0001.dcm')
  })
})

describe('the sample recipe', () => {
  it('is the default scene, with the truth and the plans it has now', () => {
    const options = (stored('recipe.json') as { options: phantom.UpperFrontOptions }).options
    expect(options).toEqual(phantom.upperFrontDefaults)
    const truth = stored('truth.json') as phantom.SceneTruth
    const plans = (['opening', 'leaning', 'upright'] as const).map((name) => ({
      name,
      plan: stored(`plan-${name}.json`) as phantom.DemoPlan['plan'],
    }))
    const now = phantom.sceneTruth(options, plans)
    expect(now.scan).toEqual(truth.scan)
    now.fixtures.forEach((fixture, f) => {
      const before = truth.fixtures[f]
      expect(fixture.state).toEqual(before?.state)
      fixture.radialMarginMm.forEach((row, d) => {
        row.forEach((margin, a) => {
          const was = before?.radialMarginMm[d]?.[a]
          if (typeof margin === 'number') expect(Math.abs(margin - Number(was))).toBeLessThan(2e-4)
          else expect(was).toBeNull()
        })
      })
    })
  })
})

describe('@alveometer/phantom', () => {
  it('exports what it promises and nothing else', () => {
    expect(Object.keys(phantom).sort()).toMatchInlineSnapshot(`
      [
        "anatomyAt",
        "ball",
        "blurredBall",
        "blurredDisc",
        "blurredOutline",
        "blurredRod",
        "chiralMarks",
        "chiralPhantom",
        "chiralStorage",
        "correlatedNoise",
        "createRandom",
        "ctSlice",
        "cubicGrid",
        "cylinderShell",
        "decimalString",
        "demoPlans",
        "dictionary",
        "discStack",
        "ellipse",
        "encapsulate",
        "encodeDataset",
        "encodeRle",
        "erf",
        "extrude",
        "fixtureTruth",
        "gaussianBlur",
        "gaussianKernel",
        "normalCdf",
        "normalPdf",
        "plateSample",
        "plateStack",
        "renderField",
        "sceneTruth",
        "secondaryCapture",
        "signedStorage",
        "storedPixels",
        "tabulate",
        "transferSyntax",
        "uidFrom",
        "upperFront",
        "upperFrontAnatomy",
        "upperFrontDefaults",
        "upperFrontField",
        "upperFrontVolume",
        "waves",
        "wedge",
        "whiteNoise",
        "writeDicom",
        "writeMultiFrame",
        "writeSeries",
        "zipSeries",
      ]
    `)
  })
})
