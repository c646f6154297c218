import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import {
  chiralPhantom,
  type Dataset,
  encodeDataset,
  type FileOptions,
  writeDicom,
  writeSeries,
} from '../src/index.js'
import { dump, folderOf, noDcmtk, noPydicom, runPython } from './outside.js'

/** A private block whose sequence holds a sequence, with or without lengths, before the pixels. */
const privateBlock = (lengths: 'explicit' | 'undefined'): Dataset => ({
  '00290010': { vr: 'LO', value: 'ALVEOMETER TEST' },
  '00291001': {
    vr: 'SQ',
    lengths,
    value: [
      { '00290010': { vr: 'LO', value: 'ALVEOMETER TEST' }, '00291002': { vr: 'SQ', value: [step, step] } },
      {},
    ],
  },
})
const step: Dataset = { SpacingBetweenSlices: 9, '00290010': { vr: 'LO', value: 'ALVEOMETER TEST' } }

/** Known and private attributes that a writer took for unknown. */
const unknown: Dataset = {
  PixelMeasuresSequence: { vr: 'UN', lengths: 'undefined', value: [{ PixelSpacing: [0.4, 0.25], Rows: 7 }] },
  PlanePositionSequence: { vr: 'UN', value: [{ ImagePositionPatient: [1, 2, 3] }] },
  '00290010': { vr: 'LO', value: 'ALVEOMETER TEST' },
  '00291001': { vr: 'UN', lengths: 'undefined', value: [{ AcquisitionContextSequence: [step] }] },
}

const written = (overrides: Dataset, options: FileOptions = {}): string => {
  const [file] = writeSeries(chiralPhantom(), { ...options, slices: [3], overrides, fileName: () => 'x' })
  return join(folderOf(file ? [file] : []), 'x')
}

const readAll = `
import sys, json, pydicom
d = pydicom.dcmread(sys.argv[1])
def plain(ds): return {str(e.tag).replace(', ', ''): [plain(i) for i in e.value] if e.VR == 'SQ' else str(e.value) for e in ds}
tags = [pydicom.tag.Tag(t) for t in ('00290010', '00291001', '00289110', '00209113', 'FFFCFFFC')]
print(json.dumps(dict(found=plain(pydicom.Dataset({t: d[t] for t in tags if t in d})),
    sum=int(d.pixel_array.sum()), size=[d.Rows, d.Columns])))
`

interface Found {
  readonly found: Readonly<Record<string, unknown>>
  readonly sum: number
  readonly size: [number, number]
}

const read = (path: string) => runPython(readAll, path) as Found

const syntaxes = ['explicitLittle', 'implicitLittle', 'explicitBig'] as const

describe('odd data sets', () => {
  const odd: Readonly<Record<string, Dataset>> = {
    'a private sequence with a length': privateBlock('explicit'),
    'a private sequence without length': privateBlock('undefined'),
    'VR UN with items': unknown,
    'trailing padding': { DataSetTrailingPadding: new Uint8Array(126) },
  }

  // Of UN without length dcmdump says that it reads items in implicit VR, as PS3.5 6.2.2 (by CP-246) has it.
  const remark = /VR UN and undefined length, reading a sequence with transfer syntax LittleEndianImplicit/
  it.skipIf(noDcmtk).each(Object.entries(odd))('%s: dcmdump reads it without a complaint', (_, overrides) => {
    for (const syntax of syntaxes) {
      const { complaints, code } = dump(written(overrides, { syntax }))
      expect(complaints.split('\n').filter((line) => line !== '' && !remark.test(line))).toEqual([])
      expect(code).toBe(0)
    }
  })

  it.skipIf(noPydicom)('a private block is the same to pydicom with and without lengths', () => {
    const { found, ...pixels } = read(written(privateBlock('explicit')))
    expect(found['(00291001)']).toHaveLength(2)
    const nested = (found['(00291001)'] as Record<string, unknown>[])[0]?.['(00291002)']
    expect(nested).toMatchObject([{ '(00180088)': '9' }, { '(00180088)': '9' }])
    const { found: _, ...plain } = read(written({}))
    expect(pixels).toEqual(plain)
    expect(read(written(privateBlock('undefined')))).toEqual({ found, ...pixels })
    expect(read(written(privateBlock('explicit'), { lengths: 'undefined' }))).toEqual({ found, ...pixels })
  })

  // PS3.5 6.2.2: what stands under UN is implicit VR little endian.
  it.skipIf(noPydicom)('items under UN are found by pydicom', () => {
    const { found } = read(written(unknown))
    expect(found['(00289110)']).toMatchObject([{ '(00280030)': '[0.4, 0.25]', '(00280010)': '7' }])
    expect(found['(00291001)']).toMatchObject([{ '(00400555)': [{ '(00180088)': '9' }] }])
  })
})

describe('lengths', () => {
  const hex = (bytes: Uint8Array) => Buffer.from(bytes).toString('hex')
  const item: Dataset = { Rows: 7 }

  // Laid out by hand after PS3.5 table 7.5-1 (explicit), 7.5-2 (undefined) and section 6.2.2.
  it('of a sequence, its items and UN', () => {
    const rows = '28001000' + '5553' + '0200' + '0700'
    const sequence = '40005505' + '5351' + '0000'
    expect(hex(encodeDataset({ AcquisitionContextSequence: [item] }))).toBe(
      `${sequence}12000000feff00e00a000000${rows}`,
    )
    expect(hex(encodeDataset({ AcquisitionContextSequence: [item] }, { lengths: 'undefined' }))).toBe(
      `${sequence}fffffffffeff00e0ffffffff${rows}feff0de000000000feffdde000000000`,
    )
    const unknownRows = '28001000' + '02000000' + '0700'
    expect(
      hex(
        encodeDataset({ AcquisitionContextSequence: { vr: 'UN', value: [item] } }, { littleEndian: false }),
      ),
    ).toBe(`00400555554e000000000012feff00e00a000000${unknownRows}`)
  })

  it('empty sequences have one too', () => {
    expect(hex(encodeDataset({ AcquisitionContextSequence: [] }))).toBe('4000550553510000' + '00000000')
    expect(hex(encodeDataset({ AcquisitionContextSequence: [] }, { lengths: 'undefined' }))).toBe(
      '4000550553510000' + 'fffffffffeffdde000000000',
    )
  })

  it('nothing else changes', () => {
    const plain: Dataset = { Rows: 7, PatientName: 'A', PixelData: { fragments: [Uint8Array.of(1, 2)] } }
    expect(writeDicom(plain, { lengths: 'undefined' })).toEqual(writeDicom(plain))
  })
})
