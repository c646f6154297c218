import { join } from 'node:path'
import { expect, it } from 'vitest'
import { describeWithData } from '../../../tests/shared-data.js'
import { inspectScan, loadScan } from '../src/index.js'
import { inputsFromPath } from '../src/node.js'
import { codes } from './chiral.js'

const inspectPath = async (path: string) => inspectScan(await inputsFromPath(path))

describeWithData('odd files, each on its own', 'odd-dicom', (folder) => {
  it.each([
    ['SC_rgb.dcm', 'not-a-density-image'],
    ['liver.dcm', 'not-a-density-image'],
    ['rtdose.dcm', 'not-a-density-image'],
    ['emri_small.dcm', 'slice-step-missing'],
    ['MR_truncated.dcm', 'file-truncated'],
    ['rtstruct.dcm', 'no-series'],
    ['waveform_ecg.dcm', 'no-series'],
    ['dicomdir-tree/DICOMDIR', 'dicomdir-alone'],
  ])('%s: %s, and nothing is usable', async (file, code) => {
    const { series, report } = await inspectPath(join(folder, file))
    expect(codes(report.filter((r) => r.level === 'block'))).toContain(code)
    expect(series.every((s) => !s.usable && s.spacingMm === null)).toBe(true)
  })

  it('two patients, nine series, a DICOMDIR: listed by series, no scout taken for a volume', async () => {
    const { series, report } = await inspectPath(join(folder, 'dicomdir-tree'))
    expect(series.filter((s) => s.usable).map((s) => s.shape)).toEqual([[16, 16, 5]])
    expect(codes(report)).toEqual(expect.arrayContaining(['several-patients', 'dicomdir-checked']))
    const scouts = series.filter((s) => s.localizer)
    expect(scouts.every((s) => !s.usable)).toBe(true)
  })

  it('the one volume among them has its own geometry', async () => {
    const { volume } = await loadScan(await inputsFromPath(join(folder, 'dicomdir-tree/98892001/CT5N')))
    expect(volume.spacingMm[0]).toBeCloseTo(0.488281, 9)
    expect(volume.spacingMm[2]).toBeCloseTo(2.5, 9)
    expect(volume.indexToWorld[14]).toBeCloseTo(-1.2375, 9)
  })

  it('everything at once: no throw, no personal data in the answer', async () => {
    const { series, report } = await inspectPath(folder)
    expect(series.length).toBeGreaterThan(9)
    expect(JSON.stringify({ series, report })).not.toMatch(/Doe\^|Lestrade|Yamada|Buc\^/)
  })
})

it('a path that is not there is one plain sentence', async () => {
  await expect(inputsFromPath('/no/such/folder')).rejects.toMatchObject({
    name: 'ScanError',
    code: 'path-unreadable',
    message: '/no/such/folder: there is no such file or folder. Check the path and that it may be read.',
  })
})
