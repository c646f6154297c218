import type { Volume } from '@alveometer/core'
import type { Dataset } from './dataset.js'
import { type FileOptions, writeDicom } from './file.js'
import { type FrameMacros, frameMacros, type MacroName } from './frame-macros.js'
import { functionalGroups, type MacroPlace, type OwnMacros } from './functional-groups.js'
import { type MultiFrameObject, objectClasses } from './object-classes.js'
import { encapsulate, type FragmentOptions, pixelElements } from './pixel-data.js'
import type { NamedBytes } from './series.js'
import { type SeriesNames, seriesElements, seriesNames } from './series-elements.js'
import { pixelLayout, type Storage, storedPixels } from './storage.js'
import { uidFrom } from './uid.js'

export interface MultiFrameOptions extends Partial<SeriesNames>, FileOptions, FragmentOptions {
  readonly object: MultiFrameObject
  /** Default `EnhancedCT.dcm` and so on. */
  readonly fileName?: string
  /** Default: signed 16 bit; the secondary capture unsigned with intercept -4096. */
  readonly storage?: Storage
  /** Slice k of each frame, in file order, with all that belongs to it; default all, from k = 0. */
  readonly frameOrder?: readonly number[]
  /** Where geometry and grey scale are written, if not where the object wants them. */
  readonly places?: Partial<Readonly<Record<MacroName, MacroPlace>>>
  /**
   * Macros to change for the frame of slice k, attribute by attribute; null leaves the macro out. What is changed is
   * written for that frame even where `places` says elsewhere: then it is there twice, and the two disagree.
   */
  readonly frameOverrides?: (k: number, macros: FrameMacros) => OwnMacros
  /** Elements at the top to add, change or (`undefined`) leave out; `elements` are those about to be written. */
  readonly overrides?: Dataset | ((elements: Dataset) => Dataset)
  /** The compressed bytes of each slice, by k, in the transfer syntax `syntaxUid`; default written by ourselves. */
  readonly encodedFrames?: readonly Uint8Array[]
  /** Transfer syntax of `encodedFrames`. The data set is written in explicit VR little endian. */
  readonly syntaxUid?: string
}

/**
 * A volume as one object with a frame for each slice, in memory: valid as it stands, but for 'CTWithFrames'.
 * Geometry, grey values and no-data come back exactly (grey is rounded to whole numbers).
 * @throws RangeError when a grey value does not fit the storage, or compressed frames lack a slice or their syntax.
 */
export function writeMultiFrame(volume: Volume, options: MultiFrameOptions): NamedBytes {
  const object = objectClasses[options.object]
  const storage = options.storage ?? object.storage
  const names = seriesNames(volume, options)
  const order = options.frameOrder ?? Array.from({ length: volume.shape[2] }, (_, k) => k)
  const frames = order.map((k) => {
    const macros = frameMacros(volume, k, storage, object.rescaleType)
    const changes = options.frameOverrides?.(k, macros) ?? {}
    return { macros, own: changedMacros(macros, changes), more: object.perFrame(k, names.seed) }
  })
  const elements: Dataset = {
    ...seriesElements(volume, names),
    ...object.elements(names.seed),
    SeriesInstanceUID: volume.identity.seriesUid || uidFrom(`${names.seed}/series/${options.object}`),
    SOPInstanceUID: uidFrom(`${names.seed}/instance/${options.object}/${order.join()}`),
    InstanceNumber: 1,
    NumberOfFrames: order.length,
    ...pixelLayout(volume, storage),
    ...functionalGroups(frames, { ...object.places, ...options.places }, object.shared(names.seed)),
    ...framePixels(volume, order, storage, options),
  }
  const changes = typeof options.overrides === 'function' ? options.overrides(elements) : options.overrides
  const bytes = writeDicom({ ...elements, ...changes }, fileOptions(options))
  return { name: options.fileName ?? `${options.object}.dcm`, bytes }
}

function changedMacros(macros: FrameMacros, changes: OwnMacros): OwnMacros {
  const entries = Object.entries(changes) as [MacroName, Dataset | null][]
  return Object.fromEntries(entries.map(([name, change]) => [name, change && { ...macros[name], ...change }]))
}

function framePixels(
  volume: Volume,
  order: readonly number[],
  storage: Storage,
  options: MultiFrameOptions,
): Dataset {
  const { encodedFrames } = options
  if (encodedFrames) return encapsulate(pick(encodedFrames, order), options)
  const pixels = order.map((k) => storedPixels(volume, k, storage))
  return pixelElements(pixels, volume.shape[0], options.syntax ?? 'explicitLittle', options)
}

function pick(encodedFrames: readonly Uint8Array[], order: readonly number[]): Uint8Array[] {
  return order.map((k) => {
    const frame = encodedFrames[k]
    if (!frame) throw new RangeError(`there is no compressed frame for slice ${k}`)
    return frame
  })
}

function fileOptions(options: MultiFrameOptions): FileOptions {
  if (!options.encodedFrames) return options
  if (!options.syntaxUid) throw new RangeError('compressed frames need the UID of their transfer syntax')
  return {
    ...options,
    syntax: 'explicitLittle',
    meta: options.meta === null ? null : { TransferSyntaxUID: options.syntaxUid, ...options.meta },
  }
}
