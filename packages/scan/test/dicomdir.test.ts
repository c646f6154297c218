import { execFileSync } from 'node:child_process'
import { readFileSync } from 'node:fs'
import { join } from 'node:path'
import { type Dataset, type FileOptions, writeDicom } from '@alveometer/phantom'
import { describe, expect, it } from 'vitest'
import { describeWithPython } from '../../../tests/outside-python.js'
import { describeMissing, describeWithData } from '../../../tests/shared-data.js'
import { missingFiles, readDicomdir } from '../src/dicomdir/index.js'

const DICOMDIR_CLASS = '1.2.840.10008.1.3.10'
const cs = (value: string | string[]) => ({ vr: 'CS', value })
const ul = (value: number) => ({ vr: 'UL', value })
const us = (value: number) => ({ vr: 'US', value })
const ui = (value: string) => ({ vr: 'UI', value })

/** A directory record (PS3.3 table F.3-3). */
const record = (type: string, more: Dataset = {}): Dataset => ({
  '00041400': ul(0),
  '00041410': us(0xffff),
  '00041420': ul(0),
  '00041430': cs(type),
  ...more,
})
const series = (uid: string, more: Dataset = {}) => record('SERIES', { '0020000E': ui(uid), ...more })
const image = (path: string[], uid: string, more: Dataset = {}) =>
  record('IMAGE', { '00041500': cs(path), '00041511': ui(uid), ...more })

const dicomdir = (records: readonly Dataset[], options: FileOptions = {}) =>
  writeDicom(
    { '00041130': cs('DISC'), '00041200': ul(0), '00041220': { vr: 'SQ', value: records } },
    {
      ...options,
      meta: {
        MediaStorageSOPClassUID: DICOMDIR_CLASS,
        MediaStorageSOPInstanceUID: '2.25.1',
        ...options.meta,
      },
    },
  )

const twoSeries = [
  record('PATIENT'),
  record('STUDY'),
  series('2.25.10'),
  image(['IMAGES', 'IM0'], '2.25.100'),
  image(['IMAGES', 'IM1'], '2.25.101'),
  series('2.25.20'),
  image(['MORE', 'IM0'], '2.25.200'),
]
const twoSeriesFiles = [
  { path: 'IMAGES/IM0', recordType: 'IMAGE', seriesUid: '2.25.10', sopInstanceUid: '2.25.100' },
  { path: 'IMAGES/IM1', recordType: 'IMAGE', seriesUid: '2.25.10', sopInstanceUid: '2.25.101' },
  { path: 'MORE/IM0', recordType: 'IMAGE', seriesUid: '2.25.20', sopInstanceUid: '2.25.200' },
]

describe('the files that a DICOMDIR lists', () => {
  it.each<[string, FileOptions]>([
    ['explicit little endian', {}],
    ['implicit', { syntax: 'implicitLittle' }],
    ['big endian', { syntax: 'explicitBig' }],
    ['deflated', { syntax: 'deflated' }],
    ['undefined lengths', { lengths: 'undefined' }],
    ['implicit, undefined lengths', { syntax: 'implicitLittle', lengths: 'undefined' }],
    ['no preamble', { preamble: false }],
  ])('%s, without offsets', (_, options) => {
    expect(readDicomdir(dicomdir(twoSeries, options))?.files).toEqual(twoSeriesFiles)
  })

  it.each<[string, FileOptions]>([
    ['explicit', {}],
    ['implicit', { syntax: 'implicitLittle' }],
  ])('none, %s', (_, options) => {
    expect(readDicomdir(dicomdir([], options))).toEqual({ files: [] })
  })

  it('offsets count, not the order of the records', () => {
    const empty = [
      image(['A'], '2.25.100'),
      image(['B'], '2.25.200'),
      series('2.25.20'),
      image(['C'], '2.25.101'),
      series('2.25.10'),
    ]
    const [a = 0, b = 0, , c = 0, last = 0] = itemOffsets(dicomdir(empty))
    const linked = [
      image(['A'], '2.25.100', { '00041400': ul(c) }),
      image(['B'], '2.25.200'),
      series('2.25.20', { '00041400': ul(last), '00041420': ul(b) }),
      image(['C'], '2.25.101'),
      series('2.25.10', { '00041420': ul(a) }),
    ]
    const files = readDicomdir(dicomdir(linked))?.files
    expect(files?.map((f) => f.path + f.seriesUid)).toEqual(['A2.25.10', 'B2.25.20', 'C2.25.10'])
  })

  it('offsets that lead nowhere or round in a circle do no harm', () => {
    const nowhere = twoSeries.map((r) => ({ ...r, '00041400': ul(77) }))
    expect(readDicomdir(dicomdir(nowhere))?.files).toEqual(twoSeriesFiles)
    const [, , first = 0, own = 0] = itemOffsets(dicomdir(twoSeries))
    const circle = twoSeries.map((r, i) =>
      i === 2 ? { ...r, '00041420': ul(own) } : i === 3 ? { ...r, '00041400': ul(first) } : r,
    )
    expect(readDicomdir(dicomdir(circle))?.files.map((f) => f.path)).toEqual(
      twoSeriesFiles.map((f) => f.path),
    )
  })

  it('records not in use and records without a file are left out', () => {
    const unused = image(['GONE'], '2.25.9', { '00041410': us(0) })
    expect(readDicomdir(dicomdir([unused, record('PRIVATE'), ...twoSeries]))?.files).toEqual(twoSeriesFiles)
  })

  it.each([
    [['.', 'IMAGES', 'IM0'], 'IMAGES/IM0'],
    [['IMAGES/IM0'], 'IMAGES/IM0'],
    [['', 'IMAGES', ' IM0 '], 'IMAGES/IM0'],
    [['ZÄHNE', 'IM0'], 'ZÄHNE/IM0'],
  ])('Referenced File ID %j is %s', (path, expected) => {
    expect(readDicomdir(dicomdir([image(path, '2.25.1')]))?.files[0]?.path).toBe(expected)
  })

  it.each<[string, FileOptions]>([
    ['explicit', {}],
    ['implicit', { syntax: 'implicitLittle' }],
    ['undefined lengths', { lengths: 'undefined' }],
    ['implicit, undefined lengths', { syntax: 'implicitLittle', lengths: 'undefined' }],
    ['big endian', { syntax: 'explicitBig' }],
  ])('%s: cut short anywhere it is null, damaged it never throws', (_, options) => {
    const whole = dicomdir(twoSeries, options)
    // The delimiter of a sequence ends in four zeros that nobody needs.
    const needed = whole.length - (options.lengths === 'undefined' ? 4 : 0)
    for (let length = 0; length < needed; length++) {
      expect(readDicomdir(whole.subarray(0, length)), `${length} bytes`).toBeNull()
      const damaged = whole.slice()
      damaged[length] = 0xff
      expect(() => readDicomdir(damaged)).not.toThrow()
    }
  })

  it('a last record that claims to be longer than all records is read nevertheless', () => {
    for (const syntax of ['explicitLittle', 'implicitLittle', 'explicitBig'] as const) {
      const bytes = dicomdir(twoSeries, { syntax })
      const last = itemOffsets(bytes, syntax === 'explicitBig').at(-1) ?? 0
      const view = new DataView(bytes.buffer, bytes.byteOffset)
      const little = syntax !== 'explicitBig'
      view.setUint32(last + 4, view.getUint32(last + 4, little) + 24, little)
      expect(readDicomdir(bytes)?.files).toEqual(twoSeriesFiles)
    }
  })

  it('null for what is no DICOMDIR', () => {
    expect(readDicomdir(new Uint8Array(0))).toBeNull()
    expect(readDicomdir(new TextEncoder().encode('[autorun] open=viewer.exe'))).toBeNull()
    const image = { SOPClassUID: '1.2.840.10008.5.1.4.1.1.2', SOPInstanceUID: '2.25.1', Modality: 'CT' }
    expect(readDicomdir(writeDicom(image))).toBeNull()
  })
})

/** Where items of the Directory Record Sequence begin: found by their tag, which occurs nowhere else in these files. */
function itemOffsets(bytes: Uint8Array, bigEndian = false): number[] {
  const mark = Buffer.from(bigEndian ? [0xff, 0xfe, 0xe0, 0x00] : [0xfe, 0xff, 0x00, 0xe0])
  const buffer = Buffer.from(bytes)
  const places: number[] = []
  for (let at = buffer.indexOf(mark); at >= 0; at = buffer.indexOf(mark, at + 1)) places.push(at)
  return places
}

describe('files that are not in the pick', () => {
  const list = { files: twoSeriesFiles }
  const all = ['IMAGES/IM0', 'IMAGES/IM1', 'MORE/IM0']

  it.each([
    ['all there', '', all],
    ['lower case', '', ['images/im0', 'images/im1', 'more/im0']],
    ['".dcm" added', '', all.map((name) => `${name}.dcm`)],
    ['version kept', '', all.map((name) => `${name};1`)],
    ['version and dot kept', '', all.map((name) => `${name}.;1`)],
    ['all of it', '', all.map((name) => `${name}.DCM;1`)],
    ['backslashes', '', all.map((name) => name.replace('/', '\\'))],
    ['in a folder', 'disc/', all.map((name) => `disc/${name}`)],
    ['in a zip', 'disc.zip/', all.map((name) => `disc.zip/${name}`)],
    ['in a folder of a zip', 'disc.zip/Disc 1/', all.map((name) => `disc.zip/disc 1/${name}`)],
    ['with other files', 'disc/', [...all.map((name) => `disc/${name}`), 'disc/AUTORUN.INF', 'notes.pdf']],
    ['a pick that knows no folders', '', ['IM0', 'IM1', 'im0.dcm']],
  ])('%s: none', (_, folder, names) => {
    expect(missingFiles(list, `${folder}DICOMDIR`, [`${folder}DICOMDIR`, ...names])).toEqual([])
  })

  it.each([
    ['the DICOMDIR alone', 'DICOMDIR', [], all],
    ['the DICOMDIR alone in a zip', 'disc.zip/DICOMDIR', [], all],
    ['the last slice', 'disc/DICOMDIR', ['disc/IMAGES/IM0', 'disc/MORE/IM0'], ['IMAGES/IM1']],
    ['the same name in another folder', 'DICOMDIR', ['IMAGES/IM0', 'IMAGES/IM1', 'OLD/IM0'], ['MORE/IM0']],
    [
      'the same path on another disc',
      'a/DICOMDIR',
      ['a/IMAGES/IM0', 'b/IMAGES/IM1', 'a/MORE/IM0'],
      ['IMAGES/IM1'],
    ],
    ['one of two of a name, no folders known', 'DICOMDIR', ['IM0', 'IM1'], ['MORE/IM0']],
  ])('%s', (_, dicomdirName, names, missing) => {
    expect(missingFiles(list, dicomdirName, [dicomdirName, ...names])).toEqual(missing)
  })

  it('a file listed twice is missing once', () => {
    const twice = { files: [...twoSeriesFiles, ...twoSeriesFiles] }
    expect(missingFiles(twice, 'DICOMDIR', ['DICOMDIR', 'IMAGES/IM0'])).toEqual(['IMAGES/IM1', 'MORE/IM0'])
  })
})

describeWithData(
  'a disc of two patients, its DICOMDIR in seven variants',
  'odd-dicom/dicomdir-tree',
  (folder) => {
    const variants = ['', '-bigEnd', '-implicit', '-nooffset', '-nopatient', '-reordered'].map(
      (variant) => `DICOMDIR${variant}`,
    )
    const read = (name: string) => readDicomdir(readFileSync(join(folder, name)))?.files ?? []

    it('the empty one is empty', () => {
      expect(readDicomdir(readFileSync(join(folder, 'DICOMDIR-empty.dcm')))).toEqual({ files: [] })
    })

    describeWithPython('against pydicom', ['pydicom'], (run) => {
      it.each(variants)('%s: what the listed files themselves say of their series and instance', (name) => {
        const files: unknown[] = JSON.parse(run(listedFiles, [folder, name]))
        expect(files).toHaveLength(31)
        expect(read(name)).toEqual(files)
      })
    })

    if (!hasDcmdump()) describeMissing('against dcmdump', 'no dcmdump')
    else
      it.each(variants)('%s: dcmdump lists the same Referenced File IDs', (name) => {
        const dump = execFileSync('dcmdump', ['-q', '+P', '0004,1500', join(folder, name)], {
          encoding: 'utf8',
        })
        const paths = Array.from(dump.matchAll(/\[(.*)\]/g), ([, id = '']) => id.replaceAll('\\', '/'))
        expect(read(name).map((f) => f.path)).toEqual(paths)
      })

    it.each(variants)('%s: nothing is missing, and what is taken away is', (name) => {
      const paths = read(name).map((f) => f.path)
      const names = paths.map((path) => `disc.zip/${path}`)
      const list = { files: read(name) }
      expect(missingFiles(list, 'disc.zip/DICOMDIR', names)).toEqual([])
      expect(missingFiles(list, 'disc.zip/DICOMDIR', names.slice(0, -2))).toEqual(paths.slice(-2))
    })
  },
)

function hasDcmdump(): boolean {
  try {
    execFileSync('dcmdump', ['--version'], { stdio: 'ignore' })
    return true
  } catch {
    return false
  }
}

const listedFiles = `
import sys, os, json, warnings, pydicom
warnings.simplefilter('ignore')
folder, name = sys.argv[1:]
files = []
for r in pydicom.dcmread(os.path.join(folder, name)).DirectoryRecordSequence:
    if 'ReferencedFileID' not in r: continue
    path = '/'.join(r.ReferencedFileID)
    d = pydicom.dcmread(os.path.join(folder, path), stop_before_pixels=True)
    files.append(dict(path=path, recordType=r.DirectoryRecordType, seriesUid=d.SeriesInstanceUID, sopInstanceUid=d.SOPInstanceUID))
print(json.dumps(files))
`
