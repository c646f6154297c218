import type { Dataset } from './dataset.js'
import type { Keyword } from './dictionary.js'
import type { FrameMacros, MacroName } from './frame-macros.js'

/** Where the attributes of a macro are written. At the top of the data set stand those of the first frame. */
export type MacroPlace = 'shared' | 'per-frame' | 'top-level' | 'absent'

/** Macros that one frame states for itself; null: not at all. */
export type OwnMacros = Partial<Readonly<Record<MacroName, Dataset | null>>>

/** What one frame says. `own` is written for this frame whatever the place of the macro. */
export interface FrameGroups {
  readonly macros: FrameMacros
  readonly own: OwnMacros
  /** Further functional groups of this frame alone. */
  readonly more: Dataset
}

const sequences: Readonly<Record<MacroName, Keyword>> = {
  pixelMeasures: 'PixelMeasuresSequence',
  planePosition: 'PlanePositionSequence',
  planeOrientation: 'PlaneOrientationSequence',
  rescale: 'PixelValueTransformationSequence',
  frameVoiLut: 'FrameVOILUTSequence',
}
const macroNames = Object.keys(sequences) as readonly MacroName[]

/**
 * The Multi-frame Functional Groups (PS3.3 C.7.6.16) and the attributes that are written at the top instead.
 * A sequence in which no frame says anything is left out.
 */
export function functionalGroups(
  frames: readonly FrameGroups[],
  places: Readonly<Record<MacroName, MacroPlace>>,
  moreShared: Dataset,
): Dataset {
  const at = (place: MacroPlace) => macroNames.filter((name) => places[name] === place)
  const [first] = frames
  const shared = { ...moreShared, ...(first && inSequences(first.macros, at('shared'))) }
  const perFrame = frames.map(({ macros, own, more }) => ({
    ...more,
    ...inSequences(macros, at('per-frame')),
    ...inSequences(own, macroNames),
  }))
  return {
    ...Object.assign({}, ...at('top-level').map((name) => first?.macros[name])),
    SharedFunctionalGroupsSequence: isEmpty(shared) ? undefined : [shared],
    PerFrameFunctionalGroupsSequence: perFrame.every(isEmpty) ? undefined : perFrame,
  }
}

function inSequences(macros: OwnMacros, names: readonly MacroName[]): Dataset {
  const entries = names.flatMap((name) => {
    const macro = macros[name]
    if (macro === undefined) return []
    return [[sequences[name], macro === null ? undefined : [macro]]]
  })
  return Object.fromEntries(entries)
}

const isEmpty = (group: Dataset): boolean => Object.values(group).every((value) => value === undefined)
