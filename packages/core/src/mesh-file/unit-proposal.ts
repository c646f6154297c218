import type { MeshFacts } from './mesh-facts.js'
import type { MeshNote } from './mesh-note.js'

export type LengthUnit = 'inch' | 'metre' | 'micrometre' | 'centimetre' | 'foot'

/** A unit in which a mesh would have the size of a crown or a jaw. It is for a person to choose. */
export interface UnitProposal {
  readonly unit: LengthUnit
  readonly unitMm: number
  /** The largest extent the mesh would have, mm. */
  readonly extentMm: number
}

/** Largest extent of a crown with or without its root-side base, mm: own choice, from tooth tables of 5 to 13 mm. */
const CROWN_MM = [3, 20] as const
/** A jaw or a whole scanned arch stays below, mm. Common practice. */
const JAW_MM = 200

/** The likelier ones first: inches and metres are what other programs export. An inch is 25.4 mm by definition. */
const UNITS: readonly (readonly [LengthUnit, number])[] = [
  ['inch', 25.4],
  ['metre', 1000],
  ['micrometre', 0.001],
  ['centimetre', 10],
  ['foot', 304.8],
]

export interface UnitJudgement {
  readonly proposals: readonly UnitProposal[]
  readonly notes: readonly MeshNote[]
}

/**
 * Whether a mesh has a size that a crown can have. `statedUnitMm`: what its file says of the unit; null where
 * millimetres are assumed, and then other units are proposed for a size that no crown and no jaw has.
 */
export function judgeUnit(facts: MeshFacts, statedUnitMm: number | null, fileName: string): UnitJudgement {
  const { low, high } = facts.box
  const extent = Math.max(high[0] - low[0], high[1] - low[1], high[2] - low[2])
  const fits = (mm: number, most: number) => mm >= CROWN_MM[0] && mm <= most
  if (fits(extent, CROWN_MM[1])) return { proposals: [], notes: [] }
  if (fits(extent, JAW_MM))
    return note(
      'larger-than-a-crown',
      `${fileName} is ${shown(extent)} mm long, longer than a crown (up to ${CROWN_MM[1]} mm): if it is a jaw or has several teeth, export the crown alone.`,
    )
  const size = `${fileName} is ${shown(extent)} mm long${statedUnitMm === null ? ' if its numbers are millimetres' : ' in the unit that it states'}, which no crown is (${CROWN_MM[0]} to ${CROWN_MM[1]} mm)`
  const within = (most: number): UnitProposal[] =>
    UNITS.map(([unit, unitMm]) => ({ unit, unitMm, extentMm: extent * unitMm })).filter(({ extentMm }) =>
      fits(extentMm, most),
    )
  const crowns = within(CROWN_MM[1])
  const proposals = statedUnitMm !== null ? [] : crowns.length > 0 ? crowns : within(JAW_MM)
  if (proposals.length === 0)
    return note('size-unlikely', `${size}: check the unit where it was made and export it again.`)
  const ways = proposals.map(({ unit, extentMm }) => `${shown(extentMm)} mm in ${unit} units`)
  return {
    proposals,
    notes: note('unit-unlikely', `${size}. It would be ${ways.join(' or ')}: choose its unit.`).notes,
  }
}

const note = (code: MeshNote['code'], text: string): UnitJudgement => ({
  proposals: [],
  notes: [{ code, text }],
})

const shown = (value: number): string => String(Number(value.toPrecision(3)))
