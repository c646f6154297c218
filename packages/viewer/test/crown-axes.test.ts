import { placedCrown, tabulatedCrown } from '@alveometer/core'
import { expect, test } from 'vitest'
import {
  type CrownSide,
  crownAxes,
  crownExtent,
  crownMiddle,
  sideWords,
} from '../src/crown-view/crown-axes.js'
import { orientationLetters } from '../src/drawing/index.js'
import { defaultPlan, turnCrown } from '../src/session/index.js'

const planOf = (tooth: string) =>
  defaultPlan({ seriesUid: '', frameOfReferenceUid: '', fingerprint: '', centre: [3, -40, 12] }, tooth)

/** The words right of and above the drawing, and the patient's letter on the right. */
function seen(tooth: string, side: CrownSide): string {
  const { crown, pose } = placedCrown(planOf(tooth), undefined)
  const axes = crownAxes(pose, side)
  const words = sideWords(crown, pose, axes)
  const opposite: Readonly<Record<string, string>> = { mesial: 'distal', distal: 'mesial' }
  expect(words.left).toBe(opposite[words.right])
  return `${words.right} ${orientationLetters(axes.right)[0]}, ${words.top} above, ${words.bottom} below`
}

// What a dentist sees. Upper teeth from their coronal end are seen from below, with the face above, so the patient's
// left is on the right; lower teeth from above, so it is on the left. From the face, the patient's left is on the right
// and the midline lies to the right of the teeth of the patient's right; from the mouth the other way round. On a molar
// of the patient's left seen from the cheek, mesial (anterior) is on the left.
test.each([
  ['11', 'occlusal', 'mesial L, facial above, palatal below'],
  ['21', 'occlusal', 'distal L, facial above, palatal below'],
  ['31', 'occlusal', 'mesial R, facial above, lingual below'],
  ['41', 'occlusal', 'distal R, facial above, lingual below'],
  ['43', 'occlusal', 'distal R, facial above, lingual below'],
  ['16', 'occlusal', 'mesial A, facial above, palatal below'],
  ['26', 'occlusal', 'distal P, facial above, palatal below'],
  ['36', 'occlusal', 'mesial A, facial above, lingual below'],
  ['46', 'occlusal', 'distal P, facial above, lingual below'],
  ['11', 'facial', 'mesial L, apical above, incisal below'],
  ['21', 'facial', 'distal L, apical above, incisal below'],
  ['31', 'facial', 'distal L, incisal above, apical below'],
  ['41', 'facial', 'mesial L, incisal above, apical below'],
  ['16', 'facial', 'mesial A, apical above, occlusal below'],
  ['26', 'facial', 'distal P, apical above, occlusal below'],
  ['36', 'facial', 'distal P, occlusal above, apical below'],
  ['46', 'facial', 'mesial A, occlusal above, apical below'],
  ['11', 'oral', 'distal R, apical above, incisal below'],
  ['21', 'oral', 'mesial R, apical above, incisal below'],
  ['31', 'oral', 'mesial R, incisal above, apical below'],
  ['36', 'oral', 'mesial A, occlusal above, apical below'],
  ['46', 'oral', 'distal P, occlusal above, apical below'],
] as const)('tooth %s seen from %s: on the right %s', (tooth, side, words) => {
  expect(seen(tooth, side)).toBe(words)
})

test('no view is a mirror image', () => {
  for (const tooth of ['11', '21', '36', '43'])
    for (const side of ['occlusal', 'oral', 'facial'] as const) {
      const { pose } = placedCrown(planOf(tooth), undefined)
      const { right, down, normal } = crownAxes(pose, side)
      const handed =
        normal[0] * (right[1] * down[2] - right[2] * down[1]) +
        normal[1] * (right[2] * down[0] - right[0] * down[2]) +
        normal[2] * (right[0] * down[1] - right[1] * down[0])
      expect(handed).toBeCloseTo(1, 9)
    }
})

test('words follow the crown, letters the patient, when the crown is turned', () => {
  const turned = placedCrown(turnCrown(planOf('11'), 20), undefined)
  const { right } = crownAxes(turned.pose, 'occlusal')
  expect(sideWords(turned.crown, turned.pose, crownAxes(turned.pose, 'occlusal')).right).toBe('mesial')
  // The facial face turned mesially, to the patient's left: what is mesial now points posteriorly too.
  expect(orientationLetters(right)).toBe('L')
  expect(right[1]).toBeGreaterThan(0.1)
})

test('the crown fills its box: sizes of the published table', () => {
  const crown = tabulatedCrown('11')
  // Nelson and Ash: central incisor 8.5 mesiodistally, 7.0 labiolingually, 10.5 long.
  const [across, down] = crownExtent(crown, 'occlusal')
  expect(across).toBeCloseTo(8.5, 1)
  expect(down).toBeCloseTo(7, 1)
  expect(crownExtent(crown, 'facial')[1]).toBeCloseTo(10.5, 1)
  const placed = placedCrown(planOf('11'), undefined)
  const middle = crownMiddle(placed)
  expect(Math.hypot(...middle.map((v, n) => v - (placed.pose[12 + n] ?? 0)))).toBeLessThan(6)
})
