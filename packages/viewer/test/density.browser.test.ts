import { type DensityResult, densityBands } from '@alveometer/core'
import { afterEach, expect, test } from 'vitest'
import { defineElements } from '../src/index.js'
import { madeUpAssessment } from './assessment.js'
import { mountedAt } from './mounted.js'

defineElements()
afterEach(() => document.body.replaceChildren())

const text = (element: Element): string => element.shadowRoot?.textContent?.replace(/\s+/g, ' ') ?? ''
const { density } = madeUpAssessment
if (density.core === null || density.shell === null) throw new Error('no density')

const hu = (mean: number, halfWidthHu: number) => ({ hu: mean, halfWidthHu, beyondPoints: true })
const calibrated: DensityResult = {
  ...density,
  calibrated: {
    slope: 1.04,
    intercept: -40,
    points: [
      { what: 'air', grey: -1000, hu: -1000 },
      { what: 'soft tissue', grey: 0, hu: 40 },
    ],
    text: 'A straight line through 2 points.',
  },
  core: { ...density.core, hu: hu(768, 180), boneHu: hu(801, 190) },
  shell: { ...density.shell, hu: hu(600, 20), boneHu: null },
  bands: { core: densityBands(hu(768, 180)), shell: densityBands(hu(600, 20)) },
}

test('without a calibration there are grey values, and no word of classes or HU but that they are not', async () => {
  const shown = await mountedAt([272, 900], 'alv-density', { density })
  const told = text(shown)
  expect(told).toContain('Density, grey value (not HU)')
  expect(told).toContain('Not calibrated; cortical told by grey value')
  expect(told).toContain('in bone 90 %700')
  expect(told).toContain('cortical 100 %1410')
  expect(told.replace('(not HU)', '')).not.toMatch(/\bHU\b|Misch|D[1-5]\b/)
})

test('what the device calls HU is called so, and not calibrated', async () => {
  const unit = 'HU as written by the device, not calibrated'
  const shown = await mountedAt([272, 900], 'alv-density', { density: { ...density, unit } })
  expect(text(shown)).toContain(`Density, ${unit}`)
  expect(text(shown)).toContain('Not calibrated')
  expect(text(shown)).not.toContain('Misch')
})

test('with one the means are in HU too, with their interval, its classes and their sources', async () => {
  const shown = await mountedAt([272, 900], 'alv-density', { density: calibrated })
  const told = text(shown)
  expect(told).toContain('mean768 ±180600 ±20')
  expect(told).toContain('in bone801 ±190–')
  expect(told).toContain('MischD2 to D3D3')
  expect(told).toContain('Norton & Gambletype 1 to type 2/3type 2/3')
  expect(told).toContain('from memory')
  expect(told).toContain('HU = 1.040 × grey \u2212 40, through 2 points, means beyond them')
  expect(told).toContain('A straight line through 2 points.')
})

test('the profile is drawn along the depth, with a gap where there is no data', async () => {
  const [first, second, ...others] = density.shell?.profile ?? []
  if (!first || !second) throw new Error('no profile')
  const none = { mean: null, median: null, p5: null, p95: null, boneMean: null }
  const profile = [first, { ...second, ...none }, ...others]
  const shell = { ...calibrated.shell, profile } as DensityResult['shell']
  const shown = await mountedAt([272, 900], 'alv-density', { density: { ...calibrated, shell } })
  const drawing = shown.shadowRoot?.querySelector('svg.profile')
  expect(drawing?.getAttribute('aria-label')).toBe(
    'Grey value by depth. Body: median 550 at 0.0 mm, 550 at 7.5 mm. Shell: median 550 at 0.0 mm, 550 at 7.5 mm.',
  )
  const medians = [...(drawing?.querySelectorAll('path.median') ?? [])].map((p) => p.getAttribute('d') ?? '')
  expect(medians.map((d) => d.split('M').length - 1)).toEqual([1, 2])
  expect(medians.join()).not.toContain('NaN')
})

test.each([250, 272, 366])('nothing sticks out of a panel %i pixels wide', async (width) => {
  const shown = await mountedAt([width, 900], 'alv-density', { density: calibrated })
  for (const details of shown.shadowRoot?.querySelectorAll('details') ?? []) details.open = true
  expect(shown.scrollWidth).toBeLessThanOrEqual(width)
})

test('a fixture without any density says why', async () => {
  const none = { ...density, core: null, shell: null, noDataShare: { core: 1, shell: 1 } }
  const shown = await mountedAt([272, 900], 'alv-density', { density: none })
  expect(text(shown)).toContain('bodyoutside the scan or no data')
  expect(shown.shadowRoot?.querySelector('svg')).toBeNull()
})
