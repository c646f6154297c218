import { sampleAt, type Volume } from '@alveometer/core'
import {
  chiralMarks,
  chiralPhantom,
  chiralStorage,
  type NamedBytes,
  type SeriesOptions,
  writeSeries,
} from '@alveometer/phantom'
import { expect } from 'vitest'
import { inputFromBytes, isScanError, type LoadOptions, loadScan, type ScanError } from '../src/index.js'

export const phantom: Volume = chiralPhantom()

/** The chiral phantom as files, unsigned 12 of 16 bits, intercept -1000. */
export const chiralFiles = (options: SeriesOptions = {}): NamedBytes[] =>
  writeSeries(phantom, { storage: chiralStorage, ...options })

/** Elements for one slice only. */
export const inSlice =
  (slice: number, overrides: NonNullable<SeriesOptions['overrides']>): SeriesOptions['overrides'] =>
  (k, elements) => {
    if (k !== slice) return {}
    return typeof overrides === 'function' ? overrides(k, elements) : overrides
  }

export const inputsOf = (files: readonly NamedBytes[]) => files.map((f) => inputFromBytes(f.name, f.bytes))

export const load = (files: readonly NamedBytes[], options?: LoadOptions) =>
  loadScan(inputsOf(files), options)

/** The codes of a report, in order. */
export const codes = (report: readonly { readonly code: string }[]): string[] => report.map((r) => r.code)

/** Loads what must be refused and returns the error. */
export async function refusal(files: readonly NamedBytes[], options?: LoadOptions): Promise<ScanError> {
  try {
    await load(files, options)
  } catch (error) {
    if (isScanError(error)) return error
    throw error
  }
  throw new Error('was loaded, should have been refused')
}

/** Each mark of the phantom at its world point: any flip, swap or shift of the axes moves at least one of them. */
export function expectMarks(volume: Volume): void {
  for (const mark of chiralMarks) expect(sampleAt(volume, mark.world), mark.side).toBeCloseTo(mark.grey, 6)
}

/** The same voxels at the same places. */
export function expectSameAsPhantom(volume: Volume): void {
  expectMarks(volume)
  expect(volume.shape).toEqual(phantom.shape)
  expect(Array.from(volume.data)).toEqual(Array.from(phantom.data))
  volume.indexToWorld.forEach((m, i) => {
    expect(m).toBeCloseTo(phantom.indexToWorld[i] as number, 9)
  })
}
