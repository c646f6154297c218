import type { Vec3 } from '@alveometer/core'
import { TIGHTEST_PACKING } from '../inputs/inflate.js'
import { block, FindingError, type ReportEntry } from '../report/index.js'
import { truncated } from './findings.js'
import type { StoredPart } from './header.js'
import { leftOver } from './stored-bytes.js'

/** More voxels than this do not fit one array of numbers in every browser. */
const MOST_VOXELS = 2 ** 30

/** The most along one axis that the headers of all formats can say. */
const MOST_ALONG = 32767

/** @throws FindingError `too-large` */
export function voxelsOf(file: string, shape: Vec3): number {
  const voxels = shape[0] * shape[1] * shape[2]
  if (voxels <= MOST_VOXELS && shape.every((n) => n <= MOST_ALONG)) return voxels
  const message = `${file} claims to hold ${shape.join(' x ')} voxels, more than there is room for. Save a smaller field or larger voxels.`
  throw new FindingError(block('too-large', message, [file]))
}

/**
 * A stretch of a file that should give `bytes` bytes, as far as its size can tell.
 * @throws FindingError `file-truncated` when there cannot be so many
 */
export function partOf(
  wanted: Omit<StoredPart, 'end'> & { readonly header: string; readonly end?: number },
): { readonly part: StoredPart; readonly report: readonly ReportEntry[] } {
  const { input, header, start, packing, skip, bytes } = wanted
  const end = Math.min(wanted.end ?? input.size, input.size)
  const there = Math.max(0, end - start)
  const most = packing === 'none' ? there : there * TIGHTEST_PACKING
  if (most < skip + bytes) {
    const promised = input.name === header ? 'its header promises' : `${header} promises`
    throw truncated(
      input.name,
      `it has room for ${Math.max(0, most - skip)} of the ${bytes} bytes that ${promised}`,
    )
  }
  const report = packing === 'none' && there > skip + bytes ? [leftOver(input.name)] : []
  return { part: { input, start, end, packing, skip, bytes }, report }
}
