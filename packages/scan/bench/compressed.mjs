// Compressed copies of a series, made by the toolkits that hospitals use: dcmtk, and GDCM for JPEG 2000.
import { spawn, spawnSync } from 'node:child_process'
import { existsSync, mkdirSync, renameSync } from 'node:fs'
import { availableParallelism } from 'node:os'
import { basename, join } from 'node:path'
import { needRoom } from './series.mjs'

/** Lossless all of them. `command` turns one file into another. */
export const encodings = {
  'JPEG lossless SV1': { tool: 'dcmcjpeg', command: (from, to) => ['+e1', from, to] },
  'JPEG-LS': { tool: 'dcmcjpls', command: (from, to) => [from, to] },
  'JPEG 2000': { tool: 'gdcmconv', command: (from, to) => ['--j2k', from, to] },
  RLE: { tool: 'dcmcrle', command: (from, to) => [from, to] },
}

/** Fewer than the series has, because making them takes longer than reading them. */
export const compressedSlices = 100

const isInstalled = (tool) => spawnSync(tool, ['--version']).error === undefined

/**
 * The first slices of a series in another encoding; made on the first call of a run.
 * @returns {Promise<{ folder: string, volumeMb: number, paths: () => string[] } | string>} or the tool that is missing
 */
export async function ensureCompressed(scratch, { paths, volumeMb }, encoding) {
  const { tool, command } = encodings[encoding]
  if (!isInstalled(tool)) return tool
  const folder = join(scratch, `compressed-${encoding.replaceAll(' ', '-')}`)
  const originals = paths().slice(0, compressedSlices)
  const copies = originals.map((path) => join(folder, basename(path)))
  const series = { folder, volumeMb: (volumeMb * compressedSlices) / paths().length, paths: () => copies }
  if (existsSync(folder)) return series
  needRoom(scratch, 1e6 * series.volumeMb)
  const half = `${folder}.half`
  mkdirSync(half)
  const waiting = [...originals]
  const worker = async () => {
    for (let path = waiting.pop(); path !== undefined; path = waiting.pop())
      await run(tool, command(path, join(half, basename(path))))
  }
  await Promise.all(Array.from({ length: availableParallelism() }, worker))
  renameSync(half, folder)
  return series
}

const run = (tool, args) =>
  new Promise((done, fail) => {
    const child = spawn(tool, args, { stdio: ['ignore', 'ignore', 'inherit'] })
    child.once('error', fail)
    child.once('close', (code) => (code === 0 ? done() : fail(new Error(`${tool} ended with ${code}`))))
  })
