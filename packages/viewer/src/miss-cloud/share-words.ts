import { plain } from '../text/format.js'

/** "71 %", "99.7 %"; never all or none where it is not: "> 99.9 %", "< 0.1 %". */
export function shareWords(share: number): string {
  const percent = 100 * share
  if (share <= 0) return '0\u202f%'
  if (share >= 1) return '100\u202f%'
  if (percent > 99.9) return '>\u202f99.9\u202f%'
  if (percent < 0.1) return '<\u202f0.1\u202f%'
  return `${plain(percent, percent >= 99 || percent < 1 ? 1 : 0)}\u202f%`
}

/** "±1", percent points; a tenth where a whole one would be nought. */
export const halfWidthWords = (halfWidth: number): string => {
  const points = 100 * halfWidth
  if (points > 0 && points < 0.05) return '±\u202f<\u202f0.1'
  return `±${plain(points, points < 0.95 ? 1 : 0)}`
}
