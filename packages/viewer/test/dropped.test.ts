import { expect, test } from 'vitest'
import { droppedFiles } from '../src/load-report/dropped.js'

// File and Directory Entries API (WICG): readEntries hands out what is left in pieces and ends with an empty one;
// Chromium's pieces are of at most 100 entries.
const piece = 100

const file = (fullPath: string) => ({
  isFile: true,
  isDirectory: false,
  fullPath,
  file: (done: (f: File) => void) => done(new File(['x'], fullPath.split('/').pop() ?? '')),
})

const folder = (fullPath: string, children: readonly object[]) => ({
  isFile: false,
  isDirectory: true,
  fullPath,
  createReader: () => {
    let given = 0
    return {
      readEntries: (done: (some: readonly object[]) => void) => {
        done(children.slice(given, given + piece))
        given += piece
      },
    }
  },
})

const transfer = (entries: readonly (object | null)[], files: readonly File[] = []): DataTransfer =>
  ({ items: entries.map((entry) => ({ webkitGetAsEntry: () => entry })), files }) as unknown as DataTransfer

test('a folder of more entries than a piece holds, with folders in it and a zip beside', async () => {
  const slices = Array.from({ length: 250 }, (_, n) => file(`/disc/SE01/IM${n}`))
  const dropped = await droppedFiles(
    transfer([folder('/disc', [folder('/disc/SE01', slices), file('/disc/DICOMDIR')]), file('/more.zip')]),
  )
  expect(dropped.length).toBe(252)
  expect(new Set(dropped.map((f) => f.path)).size).toBe(252)
  expect(dropped[0]?.path).toBe('disc/SE01/IM0')
  expect(dropped.at(-1)?.file.name).toBe('more.zip')
})

test('where a browser knows no entries, the files themselves', async () => {
  const loose = new File(['x'], 'scan.zip')
  expect(await droppedFiles(transfer([null], [loose]))).toEqual([{ file: loose, path: 'scan.zip' }])
})
