import type { OpenQuestion } from '@alveometer/scan'
import type { PreviewFacts } from '../engine/protocol.js'
import { plain } from '../text/format.js'
import { asks, type Distance } from './answers.js'

/** "0.300 ±0.004 mm", without the tolerance where no line was laid. */
export const distance = ({ mm, uncertaintyMm }: Distance): string =>
  uncertaintyMm === null
    ? `${plain(mm, 3)}\u202fmm`
    : `${plain(mm, 3)} \u00b1${plain(uncertaintyMm, 3)}\u202fmm`

/** What is asked, in words. */
export function missing(preview: PreviewFacts): string {
  const words = [
    asks(preview, 'pixel-spacing') ? 'how large a pixel is' : '',
    asks(preview, 'slice-step') ? 'how far apart the slices lie' : '',
    asks(preview, 'orientation')
      ? preview.sides === null
        ? 'which side of the patient is which'
        : 'from which end the slices are counted'
      : '',
  ].filter(Boolean)
  return words.length < 2 ? words.join('') : `${words.slice(0, -1).join(', ')} and ${words.at(-1)}`
}

/** The header's claim as a choice. */
export const claimed = ({ mm, from }: NonNullable<OpenQuestion['suggestion']>): string =>
  `${from} says ${plain(mm, 3)}\u202fmm: take that${from === 'Slice Thickness' ? ', though a thickness need not be the distance' : ''}`
