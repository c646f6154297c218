/** A place on a picture in its own pixels; whole numbers are pixel centres. */
export type Place = readonly [u: number, v: number]

/** A line laid over something of known length. */
export interface LengthLine {
  readonly from: Place
  readonly to: Place
}

export const lineEnds = ['from', 'to'] as const
export type LineEnd = (typeof lineEnds)[number]

export const lineLength = ({ from, to }: LengthLine): number => Math.hypot(to[0] - from[0], to[1] - from[1])

/** To start from: across the middle, or down the middle where the line has to stand upright. */
export function firstLine(width: number, height: number, upright: boolean): LengthLine {
  const [u, v] = [(width - 1) / 2, (height - 1) / 2]
  return upright ? { from: [u, 0.6 * v], to: [u, 1.4 * v] } : { from: [0.6 * u, v], to: [1.4 * u, v] }
}

/** The line with one end elsewhere, inside the picture; an upright line moves sideways as a whole. */
export function withEnd(
  line: LengthLine,
  end: LineEnd,
  [u, v]: Place,
  { width, height, upright }: { readonly width: number; readonly height: number; readonly upright: boolean },
): LengthLine {
  const inside = (value: number, size: number): number => Math.min(size - 0.5, Math.max(-0.5, value))
  const place: Place = [inside(u, width), inside(v, height)]
  const other = end === 'from' ? line.to : line.from
  const rest: Place = upright ? [place[0], other[1]] : other
  return end === 'from' ? { from: place, to: rest } : { from: rest, to: place }
}

/** Each end is set to about a pixel (95 %), so the length carries that of two ends, as a share of it. */
export const lengthUncertainty = (line: LengthLine): number => Math.SQRT2 / lineLength(line)
