import type { GraftLoss, GraftSize, GraftSpec } from '../graft/index.js'

/** "212 mm³ (0.21 cc)" */
export const volumeWords = ({ volumeMm3 }: GraftSize): string =>
  `${volumeMm3.toFixed(volumeMm3 < 10 ? 1 : 0)} mm\u00b3 (${(volumeMm3 / 1000).toFixed(2)} cc)`

/** "at most 1.4 mm thick, 0.9 mm on average, over 96 mm² and 7.5 mm of height" */
export const extentWords = ({ greatestMm, meanMm, footprintMm2, heightMm }: GraftSize): string =>
  `at most ${greatestMm.toFixed(1)} mm thick, ${meanMm.toFixed(1)} mm on average, over ${footprintMm2.toFixed(0)} mm\u00b2 and ${heightMm.toFixed(1)} mm of height`

/** "12.5 % of the thickness" */
export const lossWords = (loss: GraftLoss): string =>
  loss.kind === 'share'
    ? `${Number((100 * loss.share).toFixed(1))} % of the thickness`
    : `${loss.mm.toFixed(2)} mm of the thickness`

/** "2 mm facially and 1 mm on the other sides" */
export const wantedWords = ({
  facialMm,
  otherMm,
}: Pick<GraftSpec & { kind: 'deficit' }, 'facialMm' | 'otherMm'>): string =>
  `${facialMm} mm facially and ${otherMm} mm on the other sides`
