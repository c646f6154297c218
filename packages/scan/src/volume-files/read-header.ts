import type { ScanInput } from '../inputs/index.js'
import { note } from '../report/index.js'
import { bytesOf } from './component.js'
import { damaged } from './findings.js'
import type { FormatHeader, VolumeFileHeader, VolumeFileKind } from './header.js'
import { volumeFileKind } from './kind.js'
import { readMetaImage } from './meta-image.js'
import { readNifti } from './nifti.js'
import { readNrrd } from './nrrd.js'
import { placementOf } from './placement.js'

const KIND_BYTES = 4096

const READERS: Readonly<
  Record<
    VolumeFileKind,
    (input: ScanInput, siblings: readonly ScanInput[], signal?: AbortSignal) => Promise<FormatHeader>
  >
> = {
  nrrd: readNrrd,
  nifti: (input, _, signal) => readNifti(input, signal),
  metaimage: readMetaImage,
}

/**
 * Reads and judges the header of an NRRD, NIfTI or MetaImage file. No voxel is decoded; of packed files only the
 * beginning is unpacked. `siblings` are the files picked together with it, among which its data files are looked for.
 * @throws FindingError with a block that names the file and the remedy; the signal's reason when aborted
 */
export async function readVolumeHeader(
  input: ScanInput,
  siblings: readonly ScanInput[],
  signal?: AbortSignal,
): Promise<VolumeFileHeader> {
  signal?.throwIfAborted()
  const kind = volumeFileKind(await input.read(0, KIND_BYTES, signal))
  if (kind === null) throw damaged(input.name, 'it is no NRRD, NIfTI or MetaImage file')
  const header = await READERS[kind](input, siblings, signal)
  const { shape, given, componentType, scale, stored } = header
  const { report, ...placement } = placementOf(input.name, given)
  const unknownGrey = note(
    'grey-unit-unknown',
    `${input.name} does not say what its numbers mean: grey values, not Hounsfield units.`,
    [input.name],
  )
  return {
    kind,
    file: input.name,
    parts: [input, ...stored.parts.map((part) => part.input).filter((part) => part !== input)],
    shape,
    ...placement,
    componentType,
    voxelBytes: bytesOf(componentType),
    scale,
    report: [...header.report, ...report, unknownGrey],
    stored,
  }
}
