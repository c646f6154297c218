import type { ExitClass, MarginResult, RayFlag, RayState } from '@alveometer/core'
import { deg } from './format.js'

export const productName = 'Alveometer'
export const productVersion = '0.1.0'
export const standing = 'Planning and teaching aid, not a medical device'

export const exitWords: Readonly<Record<ExitClass, string>> = {
  palatal: 'palatal of the incisal edge',
  lingual: 'lingual of the incisal edge',
  incisal: 'through the incisal edge',
  occlusal: 'through the occlusal table',
  facial: 'on the facial side',
}

export const rayWords: Readonly<Record<RayState, string>> = {
  bone: 'bone',
  'axis-outside': 'the fixture axis lies outside bone here',
  'no-surface': 'no outer bone surface within reach',
  'no-data': 'outside the scanned field',
}

/** What makes the number of a ray less sure: beside its mark, and beside its number. */
export const flagWords: Readonly<Record<RayFlag, { readonly mark: string; readonly told: string }>> = {
  thin: { mark: 'thin plate', told: 'thin plate, less sure' },
  tooth: { mark: 'tooth?', told: 'perhaps through a tooth' },
  leak: { mark: 'pinhole?', told: 'perhaps a pinhole in the bone' },
  unrefined: { mark: 'not refined', told: 'not refined' },
}

/** Which measurement numbers are from; `doing`: what goes on with them. */
export function modeWords(mode: MarginResult['mode'], doing: string): string {
  if (mode === 'refined') return 'refined'
  if (mode === 'surface') return 'on the surface of the site'
  if (doing === 'moving') return 'fast, while moving'
  return doing === 'refining' ? 'fast, being refined' : 'fast'
}

/** "10° mesial of facial", for an angle of the map; `plusY`: the side that angles turn to. */
export function angleWords(angleDeg: number, plusY: 'mesial' | 'distal'): string {
  const signed = angleDeg > 180 ? angleDeg - 360 : angleDeg
  if (signed === 0) return 'facial'
  const side = signed > 0 === (plusY === 'mesial') ? 'mesial' : 'distal'
  return `${deg(Math.abs(signed), 0)} ${side} of facial`
}

/** Teeth of ISO 3950, permanent, upper right to lower right as seen from in front. */
export const teeth: readonly string[] = [1, 2, 3, 4].flatMap((quadrant) =>
  Array.from({ length: 8 }, (_, n) => `${quadrant}${n + 1}`),
)
