import { block, FindingError } from '../report/index.js'

const EXPORT_AGAIN = 'Export the volume again.'

/** A header that cannot be right, with the field at fault. */
export const damaged = (file: string, why: string, remedy = EXPORT_AGAIN): FindingError =>
  new FindingError(block('volume-file-damaged', `${file}: ${why}. ${remedy}`, [file]))

export const unsupported = (file: string, what: string, remedy: string): FindingError =>
  new FindingError(block('unsupported-encoding', `${file} is ${what}, which is not read. ${remedy}`, [file]))

export const notDensity = (file: string, what: string): FindingError =>
  new FindingError(
    block(
      'not-a-density-image',
      `${file} holds ${what}, not one grey value for each voxel. Pick the scan itself.`,
      [file],
    ),
  )

export const notOneVolume = (file: string, what: string): FindingError =>
  new FindingError(
    block('not-one-volume', `${file} holds ${what}. Save the one that is wanted as a file of its own.`, [
      file,
    ]),
  )

export const notAVolume = (file: string, what: string): FindingError =>
  new FindingError(
    block('not-a-volume', `${file} holds ${what}, not a volume. Pick the scan itself.`, [file]),
  )

export const truncated = (file: string, why: string): FindingError =>
  new FindingError(
    block('file-truncated', `${file} is cut short: ${why}. Copy it again from the source.`, [file]),
  )
