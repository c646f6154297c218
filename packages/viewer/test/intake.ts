import type { SeriesSummary, SizeOffer } from '@alveometer/scan'
import type { GreyImage } from '../src/drawing/grey.js'
import type { Across, PreviewFacts } from '../src/engine/protocol.js'

const thumbnail = { width: 8, height: 8, pixels: Uint8Array.from({ length: 64 }, (_, n) => 4 * n) }

/** A sound series; what a test is about is changed. */
export const madeUpSeries = (more: Partial<SeriesSummary> = {}): SeriesSummary => ({
  id: '2.25.1',
  seriesUid: '2.25.1',
  studyUid: '2.25.10',
  frameOfReferenceUid: '2.25.20',
  modality: 'CT',
  description: 'Upper jaw',
  localizer: false,
  shape: [400, 400, 300],
  spacingMm: [0.2, 0.2, 0.3],
  indexToWorld: [0.2, 0, 0, 0, 0, 0.2, 0, 0, 0, 0, 0.3, 0, 0, 0, 0, 1],
  grey: { unit: 'grey value', minimum: null, maximum: null },
  memory: { volumeBytes: 96_000_000, peakBytes: 196_000_000 },
  usable: true,
  questions: [],
  report: [],
  thumbnail,
  person: { name: 'Weber, Anna', id: 'P-1', birthDate: '19700305' },
  ...more,
})

export const scout = madeUpSeries({
  id: '2.25.2',
  description: 'Scout',
  localizer: true,
  usable: false,
  spacingMm: null,
  report: [{ level: 'block', code: 'not-a-volume', message: 'One image only.' }],
})

export const refused = madeUpSeries({
  id: '2.25.3',
  description: 'Second export',
  usable: false,
  spacingMm: null,
  report: [
    { level: 'block', code: 'same-position', message: 'Two images lie at one place. Export again.' },
    { level: 'warn', code: 'lossy-compression', message: 'Compressed with loss.' },
  ],
})

export const unplaced = madeUpSeries({
  id: '2.25.4',
  description: 'Frames without places',
  usable: false,
  spacingMm: null,
  indexToWorld: null,
  questions: [
    { ask: 'slice-step', suggestion: { mm: 0.3, from: 'Spacing Between Slices' } },
    { ask: 'orientation' },
  ],
  report: [{ level: 'block', code: 'slice-step-missing', message: 'No frame says where it lies.' }],
})

export const madeUpOffer: SizeOffer = {
  neededBytes: 96_000_000,
  budgetBytes: 50_000_000,
  shape: [400, 400, 300],
  spacingMm: [0.2, 0.2, 0.3],
  half: { bytes: 12_000_000, shape: [200, 200, 150], spacingMm: [0.4, 0.4, 0.6] },
}

export const madeUpPreview: PreviewFacts = {
  shape: [40, 30, 20],
  aspect: [1, 1, 1],
  questions: [
    { ask: 'pixel-spacing' },
    { ask: 'slice-step', suggestion: { mm: 0.4, from: 'Spacing Between Slices' } },
    { ask: 'orientation' },
  ],
  sides: null,
  counting: null,
  greyLow: 0,
  greyHigh: 100,
}

/** Pictures of the size they would have, each of one grey. */
export const madeUpPicture = async (across: Across, index: number): Promise<GreyImage> => {
  const [nx, ny, nz] = madeUpPreview.shape
  const [width, height] = across === 2 ? [nx, ny] : across === 1 ? [nx, nz] : [ny, nz]
  return { width, height, pixels: new Float32Array(width * height).fill(index) }
}
