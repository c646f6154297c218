import type { Vec3 } from '@alveometer/core'
import { damaged, notAVolume, notDensity, notOneVolume } from './findings.js'
import type { NrrdFields } from './nrrd-fields.js'
import { isWhole, readNumbers, words } from './numbers.js'

/** One axis of the array, the fastest first. */
export interface NrrdAxis {
  readonly size: number
  /** Step of one index in the space of the file; null where the file says "none", undefined where it says nothing. */
  readonly direction?: Vec3 | null
  readonly spacing?: number
  readonly unit?: string
  readonly kind?: string
}

/** Kinds of axis along which the components of one value lie, not places. */
const COMPONENTS = /color|vector|gradient|normal|matrix|quaternion|complex|point/i
const NOT_SPACE = /^(list|time|stub|scalar)$/i

/** The three axes of space. Axes of a single sample beside them are left out: they do not move a voxel. */
export function spatialAxes(file: string, fields: NrrdFields): readonly [NrrdAxis, NrrdAxis, NrrdAxis] {
  const axes = readAxes(file, fields)
  const isSpace = ({ kind = '', direction }: NrrdAxis) =>
    direction !== null && !COMPONENTS.test(kind) && !NOT_SPACE.test(kind)
  for (const { kind = '', size } of axes.filter((axis) => !isSpace(axis) && axis.size > 1)) {
    if (COMPONENTS.test(kind)) throw notDensity(file, `${size} numbers for each voxel`)
    throw notOneVolume(file, `${size} values at each place`)
  }
  const space = axes.filter(isSpace)
  while (space.length > 3 && space.at(-1)?.size === 1) space.pop()
  const [x, y, z, more] = space
  if (more) throw notOneVolume(file, `${more.size} volumes`)
  if (!x || !y || !z || Math.min(x.size, y.size, z.size) < 2) throw notAVolume(file, 'one image')
  return [x, y, z]
}

function readAxes(file: string, fields: NrrdFields): NrrdAxis[] {
  const dimension = Number(fields.get('dimension'))
  if (!isWhole(dimension, 1) || dimension > 16) throw damaged(file, 'its number of axes cannot be right')
  const forEach = <T>(field: string, values: readonly T[] | null | undefined) => {
    if (values === undefined) return undefined
    if (values?.length !== dimension) throw damaged(file, `"${field}" does not have ${dimension} entries`)
    return values
  }
  const numbers = (field: string) => {
    const text = fields.get(field)
    return forEach(field, text === undefined ? undefined : readNumbers(text))
  }
  const sizes = numbers('sizes')
  if (!sizes?.every((n) => isWhole(n, 1))) throw damaged(file, 'its number of voxels cannot be right')
  const spacings = numbers('spacings')
  const text = fields.get('space directions')
  const directions = forEach('space directions', text === undefined ? undefined : readVectors(text))
  const kindText = fields.get('kinds')
  const kinds = forEach('kinds', kindText === undefined ? undefined : words(kindText))
  const unitText = fields.get('units')
  const units = forEach('units', unitText === undefined ? undefined : readQuoted(unitText))
  return sizes.map((size, i) => ({
    size,
    ...(directions ? { direction: directions[i] } : {}),
    ...(spacings ? { spacing: spacings[i] } : {}),
    ...(kinds ? { kind: kinds[i] } : {}),
    ...(units ? { unit: units[i] } : {}),
  }))
}

/** "(1,0,0) (0,1,0) none"; null when anything in it is neither three numbers nor none. */
export function readVectors(text: string): (Vec3 | null)[] | null {
  const vectors: (Vec3 | null)[] = []
  for (const [whole, inside] of text.matchAll(/\(([^()]*)\)|[^\s()]+/g)) {
    if (inside === undefined) {
      if (whole.toLowerCase() !== 'none') return null
      vectors.push(null)
      continue
    }
    const numbers = readNumbers(inside, /\s*,\s*/)
    if (numbers?.length !== 3) return null
    vectors.push([numbers[0], numbers[1], numbers[2]])
  }
  return vectors
}

/** The strings in quotes of a line. */
export const readQuoted = (text: string): string[] => Array.from(text.matchAll(/"([^"]*)"/g), (m) => m[1])
