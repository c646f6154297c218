import { spawnSync } from 'node:child_process'
import { existsSync, mkdtempSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'

const present = (program: string): boolean => spawnSync(program, ['--version']).error === undefined

/** True where an outside program or module is missing and may be: then one plain line says what is not checked. */
function absent(name: string, found: boolean): boolean {
  if (found) return false
  if (process.env.CI === 'true') throw new Error(`${name} is not installed; the outside checks need it`)
  console.log(`skipped: ${name} is not installed`)
  return true
}

const python = '/usr/bin/python3'
const hasModule = (name: string) =>
  existsSync(python) && spawnSync(python, ['-c', `import ${name}`]).status === 0

export const noValidator = absent('dciodvfy', present('dciodvfy'))
export const noDcmtk = absent('dcmtk', present('dcmdump'))
export const noPydicom = absent('pydicom', hasModule('pydicom') && hasModule('numpy'))
export const noScipy = absent('scipy', hasModule('scipy'))

/** Runs a Python program, gives back what it printed as JSON. */
export function runPython(program: string, ...args: readonly string[]): unknown {
  const result = spawnSync(python, ['-c', program, ...args], { encoding: 'utf8', maxBuffer: 1 << 28 })
  if (result.status !== 0) throw new Error(result.stderr)
  return JSON.parse(result.stdout)
}

/** A new folder holding the files. */
export function folderOf(files: readonly { name: string; bytes: Uint8Array }[]): string {
  const folder = mkdtempSync(join(tmpdir(), 'phantom-'))
  for (const file of files) writeFileSync(join(folder, file.name), file.bytes)
  return folder
}

/** The lines of dciodvfy that report an error, and its exit code. */
export function validate(path: string): { errors: string[]; code: number | null } {
  const result = spawnSync('dciodvfy', ['-new', path], { encoding: 'utf8' })
  const lines = `${result.stdout}\n${result.stderr}`.split('\n')
  return { errors: lines.filter((line) => line.startsWith('Error')), code: result.status }
}

/** What dcmdump prints of a file, and what it complains of. */
export function dump(path: string): { text: string; complaints: string; code: number | null } {
  const result = spawnSync('dcmdump', [path], { encoding: 'utf8', maxBuffer: 1 << 26 })
  return { text: result.stdout, complaints: result.stderr, code: result.status }
}

/** Runs a program of dcmtk, for example a compressor. */
export function runDcmtk(program: string, ...args: readonly string[]): void {
  const result = spawnSync(program, args, { encoding: 'utf8' })
  if (result.status !== 0) throw new Error(`${program}: ${result.stderr}`)
}
