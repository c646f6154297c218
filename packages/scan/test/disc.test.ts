import { join } from 'node:path'
import { zipSeries } from '@alveometer/phantom'
import { expect, it } from 'vitest'
import { describeWithData } from '../../../tests/shared-data.js'
import { inputFromBytes, inspectScan, loadScan } from '../src/index.js'
import { inputsFromPath } from '../src/node.js'
import { codes } from './chiral.js'

describeWithData('a disc with an index', 'odd-dicom', (folder) => {
  const disc = join(folder, 'dicomdir-tree')

  it('complete: compared, nothing missing', async () => {
    const { report } = await inspectScan(await inputsFromPath(disc))
    expect(codes(report)).toContain('dicomdir-checked')
    expect(codes(report)).not.toContain('images-not-in-pick')
  })

  it('the last slice of a stack left behind: nothing in the stack tells, the index does', async () => {
    const inputs = await inputsFromPath(disc)
    const stack = inputs.filter((i) => i.name.startsWith('98892001/CT5N/'))
    expect(stack).toHaveLength(5)
    const left = stack.at(-1)?.name ?? ''
    const { volume, report } = await loadScan(inputs.filter((i) => i.name !== left))
    expect(volume.shape[2]).toBe(4)
    const warning = report.find((r) => r.code === 'images-not-in-pick')
    expect(warning?.level).toBe('warn')
    expect(warning?.message).toContain('lists 1 image that is not in the pick')
    expect(warning?.files).toEqual([left])
    expect(volume.remarks.some((r) => r.code === 'images-not-in-pick')).toBe(true)
  })

  it('images renamed and moved away from their folders are known by their UIDs', async () => {
    const inputs = await inputsFromPath(disc)
    const moved = await Promise.all(
      inputs.map(async (input, n) =>
        input.name.startsWith('DICOMDIR') ? input : inputFromBytes(`x/${n}`, await input.read()),
      ),
    )
    expect(codes((await inspectScan(moved)).report)).not.toContain('images-not-in-pick')
  })

  it('the index alone: what it is and what to choose', async () => {
    const index = (await inputsFromPath(disc)).filter((i) => i.name === 'DICOMDIR')
    const { report, series } = await inspectScan(index)
    expect(series).toEqual([])
    expect(codes(report)).toEqual(['dicomdir-alone', 'no-series'])
    await expect(loadScan(index)).rejects.toThrow(/only the index of a disc\. Choose the whole folder/)
  })

  it('in a zip, as a disc is sent', async () => {
    const inputs = await inputsFromPath(disc)
    const files = await Promise.all(
      inputs.map(async (i) => ({ name: `disc/${i.name}`, bytes: await i.read() })),
    )
    const { volume } = await loadScan([inputFromBytes('disc.zip', zipSeries(files))])
    expect(volume.shape).toEqual([16, 16, 5])
  })
})
