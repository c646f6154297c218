import type { Vec3 } from '@alveometer/core'

const pairs = [
  ['L', 'R'],
  ['P', 'A'],
  ['S', 'I'],
] as const

/** About 20 degrees off an axis: from there on its neighbour is named too. */
const worthNaming = 0.35

/**
 * The anatomical letters of a direction in LPS: L R left right, P A posterior anterior, S I superior inferior, the
 * strongest first (DICOM PS3.3 C.7.6.1.1.1 names them so, with H and F for S and I). Empty for a direction without length.
 */
export function orientationLetters(direction: Vec3): string {
  const size = Math.hypot(...direction)
  if (!(size > 0)) return ''
  return direction
    .map((part, axis) => ({ part: part / size, axis }))
    .filter(({ part }) => Math.abs(part) >= worthNaming)
    .sort((a, b) => Math.abs(b.part) - Math.abs(a.part))
    .map(({ part, axis }) => pairs[axis]?.[part > 0 ? 0 : 1] ?? '')
    .join('')
}
