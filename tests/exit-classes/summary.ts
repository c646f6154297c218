import type { Outcome, Place } from './measure.js'

/** A share of draws with its standard error, both of 1. */
export interface Share {
  readonly share: number
  readonly se: number
}

/** What many draws come to. */
export interface Summary {
  readonly count: number
  readonly places: Readonly<Record<Place, Share>>
  /** Exits palatal of the edge line by however little. */
  readonly behindEdge: Share
  readonly meanTiltDeg: number
  /** Exits that lie where they were aimed at; null where the rule aims at none. */
  readonly aimed: Share | null
  readonly corrections: Corrections
}

export interface Corrections {
  readonly count: number
  /** Of the draws that a bend puts right. */
  readonly meanDeg: number
  readonly seDeg: number
  /** Shares that need more than so many degrees, or that no bend puts right. */
  readonly over: readonly Share[]
}

export const OVER_DEG = [0, 5, 10, 15, 25] as const

export function summarise(outcomes: readonly Outcome[]): Summary {
  const at = (place: Place): Share => shareOf(outcomes, (it) => it.place === place)
  const aims = outcomes.filter(({ aimed }) => aimed !== null)
  return {
    count: outcomes.length,
    places: {
      palatal: at('palatal'),
      incisal: at('incisal'),
      facial: at('facial'),
      'past-facially': at('past-facially'),
      'past-palatally': at('past-palatally'),
    },
    behindEdge: shareOf(outcomes, ({ offsetMm }) => offsetMm !== null && offsetMm < 0),
    meanTiltDeg: mean(outcomes.map(({ tiltFacialDeg }) => tiltFacialDeg)),
    aimed: aims.length > 0 ? shareOf(aims, ({ aimed }) => aimed === true) : null,
    corrections: corrections(outcomes),
  }
}

function corrections(outcomes: readonly Outcome[]): Corrections {
  const asked = outcomes.filter(({ correctionDeg }) => correctionDeg !== undefined)
  const bends = asked.flatMap(({ correctionDeg }) =>
    typeof correctionDeg === 'number' ? [correctionDeg] : [],
  )
  const meanDeg = mean(bends)
  return {
    count: asked.length,
    meanDeg,
    seDeg: Math.sqrt(mean(bends.map((bend) => (bend - meanDeg) ** 2)) / bends.length),
    over: OVER_DEG.map((limit) =>
      shareOf(asked, ({ correctionDeg }) => typeof correctionDeg !== 'number' || correctionDeg > limit),
    ),
  }
}

/** Draws of one range of tilts, degrees: from..to. */
export interface Bin {
  readonly fromDeg: number
  readonly toDeg: number
  readonly count: number
  /** Exits that are facial, or whose axis passes the crown facially. */
  readonly facial: Share
}

export const BIN_DEG = 5

/** Facial exits by the fixture's tilt, in bins of 5 degrees; bins with fewer draws than `least` are left out. */
export function byTilt(outcomes: readonly Outcome[], least: number): Bin[] {
  const bins = new Map<number, Outcome[]>()
  for (const it of outcomes) {
    const n = Math.floor(it.tiltFacialDeg / BIN_DEG)
    bins.set(n, [...(bins.get(n) ?? []), it])
  }
  return [...bins]
    .filter(([, all]) => all.length >= least)
    .sort(([a], [b]) => a - b)
    .map(([n, all]) => ({
      fromDeg: n * BIN_DEG,
      toDeg: (n + 1) * BIN_DEG,
      count: all.length,
      facial: shareOf(all, ({ place }) => place === 'facial' || place === 'past-facially'),
    }))
}

function shareOf(all: readonly Outcome[], is: (it: Outcome) => boolean): Share {
  const share = all.filter(is).length / all.length
  return { share, se: Math.sqrt((share * (1 - share)) / all.length) }
}

const mean = (values: readonly number[]): number => values.reduce((sum, v) => sum + v, 0) / values.length
