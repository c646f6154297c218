import { digits, percent, table } from '../../accuracy/page/table.js'
import { TEETH } from '../anatomy.js'
import { CROWN_AND_ROOT, IMMEDIATE, PALATAL_SOCKET } from '../published.js'
import type { Rule } from '../rules.js'
import type { Study } from '../study.js'
import { BIN_DEG, OVER_DEG, type Share } from '../summary.js'

export const RULE_NAME: Readonly<Record<Rule, string>> = {
  tooth: 'root axis',
  process: 'process axis',
  palatal: 'palatal, aimed',
}

const withError = ({ share, se }: Share): string => `${percent(share)} ± ${percent(se)}`
const ofCount = (part: number, all: number): string =>
  withError({ share: part / all, se: Math.sqrt(((part / all) * (1 - part / all)) / all) })

/** Exit classes of every tooth and rule. */
export const classTable = ({ cases }: Study): string[] =>
  table(
    ['tooth, rule', 'mean tilt', 'palatal', 'incisal', 'facial', 'past the crown', 'behind the edge at all'],
    cases.map(({ tooth, rule, summary: { places, meanTiltDeg, behindEdge } }) => [
      `${tooth} ${RULE_NAME[rule]}`,
      digits(meanTiltDeg, 1),
      ...[places.palatal, places.incisal, places.facial].map(withError),
      percent(places['past-facially'].share + places['past-palatally'].share),
      withError(behindEdge),
    ]),
  )

/** The bends needed. */
export const bendTable = ({ cases }: Study): string[] =>
  table(
    ['tooth, rule', 'mean bend', ...OVER_DEG.map((limit) => `over ${limit}°`)],
    cases.map(({ tooth, rule, summary: { corrections } }) => [
      `${tooth} ${RULE_NAME[rule]}`,
      `${digits(corrections.meanDeg, 1)} ± ${digits(corrections.seDeg, 1)}`,
      ...corrections.over.map(withError),
    ]),
  )

/** Facial exits by tilt. */
export function tiltTable({ tilts }: Study): string[] {
  const bins = new Set(TEETH.flatMap((tooth) => tilts[tooth].map(({ fromDeg }) => fromDeg)))
  return table(
    ['tilt of the fixture', ...TEETH],
    [...bins]
      .sort((a, b) => a - b)
      .map((from) => [
        `${from} to ${from + BIN_DEG}°`,
        ...TEETH.map((tooth) => {
          const bin = tilts[tooth].find(({ fromDeg }) => fromDeg === from)
          return bin ? withError(bin.facial) : '-'
        }),
      ]),
  )
}

/** Published shares beside the simulated ones of the rule that is nearest to how they were planned. */
export function publishedTable({ cases, together }: Study): string[] {
  const central = cases.find(({ tooth, rule }) => tooth === '11' && rule === 'palatal')?.summary
  if (central === undefined) throw new RangeError('central incisors were not planned by the palatal rule')
  const { palatal, incisal, facial, all, aimed } = PALATAL_SOCKET
  const over = (rule: Rule, limit: (typeof OVER_DEG)[number]): string =>
    withError(together[rule].corrections.over[OVER_DEG.indexOf(limit)])
  const { over0, over5, over10, over15 } = CROWN_AND_ROOT
  return table(
    ['what', 'published', 'simulated'],
    [
      ['central, palatal socket [1]: palatal', ofCount(palatal, all), withError(central.places.palatal)],
      ['... incisal', ofCount(incisal, all), withError(central.places.incisal)],
      ['... facial', ofCount(facial, all), withError(central.places.facial)],
      ['... just where it was aimed', ofCount(aimed, all), central.aimed ? withError(central.aimed) : '-'],
      ['crown and root [2], root axis: bend needed', ofCount(over0, 200), over('tooth', 0)],
      ['... over 5°', ofCount(over5, 200), over('tooth', 5)],
      ['... over 10°', ofCount(over10, 200), over('tooth', 10)],
      ['... over 15°', ofCount(over15, 200), over('tooth', 15)],
      [
        'immediate fixtures [3], process axis: bend needed',
        ofCount(IMMEDIATE.all - IMMEDIATE.straight, IMMEDIATE.all),
        over('process', 0),
      ],
      ['... over 25° (published: cement)', ofCount(IMMEDIATE.cement, IMMEDIATE.all), over('process', 25)],
    ],
  )
}
