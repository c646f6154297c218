import { execFileSync } from 'node:child_process'
import { mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'
import { type NamedBytes, zipSeries } from '@alveometer/phantom'
import { afterAll, describe, expect, it } from 'vitest'
import { describeWithPython } from '../../../../tests/outside-python.js'
import { describeMissing } from '../../../../tests/shared-data.js'
import { inputFromBytes, inputsFromFiles, inspectScan, loadScan, type ScanInput } from '../../src/index.js'
import { inputsFromPath } from '../../src/node.js'
import { chiralFiles, codes, expectSameAsPhantom, inputsOf, load, refusal } from '../chiral.js'

const work = mkdtempSync(join(tmpdir(), 'alveometer-containers-'))
afterAll(() => rmSync(work, { recursive: true }))

/** The files in a new folder on disk. */
function onDisk(folder: string, files: readonly NamedBytes[]): string {
  for (const { name, bytes } of files) {
    const path = join(work, folder, name)
    mkdirSync(dirname(path), { recursive: true })
    writeFileSync(path, bytes)
  }
  return join(work, folder)
}
const text = (content: string) => new TextEncoder().encode(content)
const asFile = ({ name, bytes }: NamedBytes) => new File([bytes as Uint8Array<ArrayBuffer>], name)
const clutter: readonly NamedBytes[] = [
  { name: 'AUTORUN.INF', bytes: text('[autorun]\nopen=VIEWER.EXE\n') },
  { name: 'MANUAL.PDF', bytes: text('%PDF-1.4\n%nothing') },
  { name: 'IMAGES/.DS_Store', bytes: text('\0\0\0\x01Bud1\0') },
]
const extensionless = chiralFiles({ fileName: (k) => `IMAGES/IM${k}` })

const hasTool = (tool: string) => {
  try {
    execFileSync(tool, ['--version'], { stdio: 'ignore' })
    return true
  } catch {
    return false
  }
}

if (!hasTool('dcmmkdir')) describeMissing('a disc with an index made by dcmtk', 'no dcmmkdir')
else
  describe('a disc with an index made by dcmtk', () => {
    const folder = onDisk('disc', [...extensionless, ...clutter])
    execFileSync(
      'dcmmkdir',
      ['--general-purpose', '+r', '+id', folder, '+D', join(folder, 'DICOMDIR'), 'IMAGES'],
      {
        stdio: 'ignore',
      },
    )
    const index = { name: 'DICOMDIR', bytes: Uint8Array.from(readFileSync(join(folder, 'DICOMDIR'))) }
    const disc = [index, ...clutter, ...extensionless]
    const zip = zipSeries(disc)
    const ways: Readonly<Record<string, () => Promise<ScanInput[]>>> = {
      'the folder': () => inputsFromPath(folder),
      'a zip on disk': () =>
        inputsFromPath(join(onDisk('zipped', [{ name: 'disc.zip', bytes: zip }]), 'disc.zip')),
      'a zip without a name that says so': async () => [inputFromBytes('disc', zip)],
      'a File of the zip': async () => inputsFromFiles([asFile({ name: 'disc.zip', bytes: zip })]),
      'Files one by one': async () => inputsFromFiles(disc.map(asFile)),
      'the zip beside a note in one drop': async () =>
        inputsFromFiles([
          asFile({ name: 'read me.txt', bytes: text('hello') }),
          asFile({ name: 'disc.zip', bytes: zip }),
        ]),
      'a zip in a zip': async () => [
        inputFromBytes('all.zip', zipSeries([{ name: 'in/disc.zip', bytes: zip }])),
      ],
    }

    it.each(Object.entries(ways))(
      '%s: the volume, the index checked, the rest counted',
      async (way, inputs) => {
        const { volume, report } = await loadScan(await inputs())
        expectSameAsPhantom(volume)
        expect(report.map((r) => [r.level, r.code])).toEqual([
          ['note', 'dicomdir-checked'],
          ['note', 'other-files-ignored'],
        ])
        const others = way === 'the zip beside a note in one drop' ? 4 : 3
        expect(report[1]?.message).toBe(`${others} other files ignored.`)
      },
    )

    it('the index alone: says what it is and what to choose', async () => {
      const error = await refusal([index])
      expect(codes(error.report)).toContain('dicomdir-alone')
      expect(error.message).toBe(
        'DICOMDIR is only the index of a disc. Choose the whole folder it lies in, with the images.',
      )
    })

    it('a slice at the end that the index lists and nobody picked is missed', async () => {
      const { report } = await load(disc.filter((f) => f.name !== 'IMAGES/IM23'))
      const warning = report.find((r) => r.code === 'images-not-in-pick')
      expect(warning?.level).toBe('warn')
      expect(warning?.files).toEqual(['IMAGES/IM23'])
    })

    it('a damaged index beside the images does not stop the scan', async () => {
      const cut = { ...index, bytes: index.bytes.subarray(0, index.bytes.length - 500) }
      // In one folder with slices that are named like it, too.
      for (const slices of [extensionless, chiralFiles({ fileName: (k) => `IM${k}` })])
        expectSameAsPhantom((await load([cut, ...slices])).volume)
    })
  })

describeWithPython('a zip64 made by Python', ['zipfile'], (run) => {
  it.each([0, 8])('packing method %d: the volume', async (method) => {
    const folder = onDisk(`zip64-${method}`, chiralFiles())
    const path = join(work, `zip64-${method}.zip`)
    // Every size and place is written in the 64 bit records once the limit is low (APPNOTE 4.5.3 and 4.3.14).
    run(
      `
import sys, os, zipfile
zipfile.ZIP64_LIMIT = 1
with zipfile.ZipFile(sys.argv[2], 'w', int(sys.argv[3])) as z:
    for name in sorted(os.listdir(sys.argv[1])): z.write(os.path.join(sys.argv[1], name), 'scan/' + name)
`,
      [folder, path, String(method)],
    )
    const bytes = Uint8Array.from(readFileSync(path))
    // The end record of zip64.
    expect(Buffer.from(bytes).includes(Buffer.from([0x50, 0x4b, 0x06, 0x06]))).toBe(true)
    for (const inputs of [await inputsFromPath(path), [inputFromBytes('z', bytes)]]) {
      const { volume, report } = await loadScan(inputs)
      expectSameAsPhantom(volume)
      expect(report).toEqual([])
    }
  })
})

describe('names', () => {
  const folder = 'Müller – 山田 🦷 a b'
  const fileName = (k: number) => `${folder}/${'x'.repeat(200)} é${k}`
  const files = chiralFiles({ fileName })
  const ways: Readonly<Record<string, () => Promise<ScanInput[]>>> = {
    'on disk': () => inputsFromPath(onDisk('names', files)),
    'in a zip': async () => [inputFromBytes('Röntgen 歯.zip', zipSeries(files))],
    'as Files': async () => inputsFromFiles(files.map(asFile)),
  }

  it.each(Object.entries(ways))(
    'umlauts, Chinese characters, emoji, blanks and 200 letters, %s',
    async (_, inputs) => {
      const { volume, report } = await loadScan(await inputs())
      expectSameAsPhantom(volume)
      expect(report).toEqual([])
    },
  )

  it.each(Object.entries(ways))('a message gives them as they are, %s', async (_, inputs) => {
    const all = await inputs()
    const { report } = await loadScan(all.filter((i) => !i.name.endsWith(' é11') || i.size < 1))
    if (all.length > 1)
      expect(report[0]?.files).toEqual([
        expect.stringContaining(fileName(10)),
        expect.stringContaining(fileName(12)),
      ])
    else expect(report).toEqual([])
  })

  it('the same file names in two folders are different files', async () => {
    const [low, high] = [
      chiralFiles({ slices: Array.from({ length: 12 }, (_, k) => k) }),
      chiralFiles({ slices: Array.from({ length: 12 }, (_, k) => k + 12) }),
    ]
    // Both halves are IM0001.dcm to IM0012.dcm.
    expect(low.map((f) => f.name)).toEqual(high.map((f) => f.name))
    const both = [
      ...low.map((f) => ({ ...f, name: `lower/${f.name}` })),
      ...high.map((f) => ({ ...f, name: `upper/${f.name}` })),
    ]
    for (const inputs of [
      inputsOf(both),
      inputsOf([...low, ...high]),
      inputsFromFiles([...low, ...high].map(asFile)),
      await inputsFromPath(onDisk('halves', both)),
    ]) {
      const { volume, report } = await loadScan(inputs)
      expectSameAsPhantom(volume)
      expect(report).toEqual([])
    }
  })
})

describe('files that are no slices, among the slices', () => {
  it.each([
    ['a text', { name: 'SOURCE.md', bytes: text('# What this is\n') }, 'other-files-ignored', 'note'],
    ['an empty file', { name: 'thumbs.db', bytes: new Uint8Array() }, 'file-empty', 'warn'],
    [
      'a picture',
      { name: 'photo.jpg', bytes: Uint8Array.of(0xff, 0xd8, 0xff, 0xe0, 0, 16) },
      'other-files-ignored',
      'note',
    ],
    ['a zip of nothing', { name: 'empty.zip', bytes: zipSeries([]) }, undefined, undefined],
  ] as const)('%s: skipped and said so', async (_, file, code, level) => {
    const { volume, report } = await load([file, ...chiralFiles()])
    expectSameAsPhantom(volume)
    expect(report.map((r) => [r.level, r.code])).toEqual(code ? [[level, code]] : [])
  })

  it('a pick of nothing but them: an explained error, never an empty result', async () => {
    for (const files of [clutter, [{ name: 'e.zip', bytes: zipSeries([]) }]]) {
      const error = await refusal(files)
      expect(error.code).toBe('no-series')
      expect(error.message).toContain('Choose the folder or zip with the DICOM slices')
      expect(codes((await inspectScan(inputsOf(files))).report)).toContain('no-series')
    }
  })
})

describe('file meta information with something missing', () => {
  it.each([
    ['no group length', { meta: { FileMetaInformationGroupLength: undefined } }],
    ['a wrong group length', { meta: { FileMetaInformationGroupLength: 12 } }],
    [
      'no preamble and no group length',
      { preamble: false, meta: { FileMetaInformationGroupLength: undefined } },
    ],
  ] as const)('%s: read', async (_, options) => {
    const { volume, report } = await load(chiralFiles(options))
    expectSameAsPhantom(volume)
    expect(report).toEqual([])
  })

  it('no transfer syntax: a plain sentence that names the files', async () => {
    const error = await refusal(chiralFiles({ meta: { TransferSyntaxUID: undefined } }))
    expect(codes(error.report)).toEqual(['header-unreadable', 'no-series'])
    expect(error.message).toMatch(/^IM0001\.dcm, .*header is damaged.* Copy it again/)
  })
})
