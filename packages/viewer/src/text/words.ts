import type { ExitClass, RayState } from '@alveometer/core'

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

/** Teeth of ISO 3950, permanent, upper right to lower right as seen from in front. */
export const teeth: readonly string[] = [1, 2, 3, 4].flatMap((quadrant) =>
  Array.from({ length: 8 }, (_, n) => `${quadrant}${n + 1}`),
)
