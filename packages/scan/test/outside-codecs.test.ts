import { execFileSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import type { SeriesOptions } from '@alveometer/phantom'
import { afterAll, describe, expect, it } from 'vitest'
import { describeMissing } from '../../../tests/shared-data.js'
import { loadScan } from '../src/index.js'
import { inputsFromPath, nodeDecoder } from '../src/node.js'
import { chiralFiles, codes, expectMarks, expectSameAsPhantom } from './chiral.js'

const has = (tool: string) => {
  try {
    execFileSync(tool, ['--version'], { stdio: 'ignore' })
    return true
  } catch {
    return false
  }
}

if (!has('dcmcjpls') || !has('dcmcjpeg'))
  describeMissing('series compressed by dcmtk', 'dcmtk is not installed')
else
  describe('series compressed by dcmtk', () => {
    const work = mkdtempSync(join(tmpdir(), 'scan-'))
    afterAll(() => rmSync(work, { recursive: true }))

    function compress(name: string, tool: string, args: readonly string[], options?: SeriesOptions): string {
      const folder = join(work, name)
      mkdirSync(folder)
      for (const file of chiralFiles(options)) {
        const raw = join(work, 'raw.dcm')
        writeFileSync(raw, file.bytes)
        execFileSync(tool, [...args, raw, join(folder, file.name)], { stdio: 'ignore' })
      }
      return folder
    }

    it.each([
      ['jpeg-ls', 'dcmcjpls', []],
      ['jpeg-lossless', 'dcmcjpeg', ['+e1']],
    ] as const)('%s: every voxel as in the uncompressed twin, slices in order', async (name, tool, args) => {
      const inputs = await inputsFromPath(compress(name, tool, args))
      const { volume, report } = await loadScan(inputs, { decoder: nodeDecoder() })
      expectSameAsPhantom(volume)
      expect(report).toEqual([])
    })

    it('a rescale of its own in one slice, inverted display: values as in the uncompressed twin', async () => {
      const overrides: SeriesOptions['overrides'] = (k) => ({
        PhotometricInterpretation: 'MONOCHROME1',
        ...(k === 2 ? { RescaleIntercept: 0 } : {}),
      })
      const inputs = await inputsFromPath(compress('rescale', 'dcmcjpls', [], { overrides }))
      const { volume, report } = await loadScan(inputs, { decoder: nodeDecoder() })
      expect(codes(report)).toEqual(['rescale-varies', 'inverted-display'])
      expectMarks(volume)
      expect(volume.data[2 * 1024]).toBe(0)
      expect(volume.data[3 * 1024]).toBe(-1000)
    })

    it('a damaged codestream is refused by name', async () => {
      const folder = compress('damaged', 'dcmcjpls', [])
      const inputs = (await inputsFromPath(folder)).map((input) => {
        if (input.name !== 'IM0009.dcm') return input
        const read = async (...range: Parameters<typeof input.read>) => {
          const bytes = Uint8Array.from(await input.read(...range))
          const start = range[0] ?? 0
          // The last 150 bytes lie well inside the codestream.
          for (let at = Math.max(0, input.size - 150 - start); at < bytes.length - 20; at++) bytes[at] = 0xff
          return bytes
        }
        return { ...input, read }
      })
      const loading = loadScan(inputs, { decoder: nodeDecoder() })
      await expect(loading).rejects.toMatchObject({ code: 'blocked' })
      await expect(loading).rejects.toThrow(/IM0009\.dcm: its pixels \(JPEG-LS Lossless/)
    })
  })
