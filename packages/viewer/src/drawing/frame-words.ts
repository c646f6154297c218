import { scale, type Vec3 } from '@alveometer/core'
import { type SVGTemplateResult, svg } from 'lit'
import { orientationLetters } from './letters.js'
import { label } from './lines.js'
import type { View } from './view.js'

/** The trade's words for the sides of a drawing. */
export interface SideWords {
  readonly left?: string
  readonly right?: string
  readonly top?: string
  readonly bottom?: string
}

/**
 * Words and anatomical letters at the four edges: which way is which, at all times. `corners`: left and right below, and
 * above out of the middle, for a drawing that needs the room. `feet`: left and right below, above in the middle.
 */
export function frameWords(
  view: View,
  words: SideWords,
  place: 'edges' | 'corners' | 'feet' = 'edges',
): SVGTemplateResult {
  const { width: w, height: h } = view
  const up = scale(view.down, -1)
  const left = scale(view.right, -1)
  const both = (word: string | undefined, direction: Vec3): string =>
    [word, orientationLetters(direction)].filter((part) => part !== undefined && part !== '').join(' \u00b7 ')
  const level = place === 'edges' ? h / 2 - 14 : h - 12
  const column = place === 'corners' ? w * 0.38 : w / 2
  return svg`${label([12, level], both(words.left, left), 'start', 'side')}
    ${label([w - 12, level], both(words.right, view.right), 'end', 'side')}
    ${label([column, 20], both(words.top, up), 'middle', 'side')}
    ${label([w / 2, h - 12], both(words.bottom, view.down), 'middle', 'side')}`
}
