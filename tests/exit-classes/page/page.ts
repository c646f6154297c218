import { edgeAt, tabulatedCrown } from '@alveometer/core'
import { digits, percent, section, table } from '../../accuracy/page/table.js'
import { type StudyTooth, TEETH } from '../anatomy.js'
import { RULES, wantedExit } from '../rules.js'
import { growsWithTilt, lateralsMost, meanBend, type Study, type StudyCase } from '../study.js'
import { bendTable, classTable, publishedTable, RULE_NAME, tiltTable } from './tables.js'

const HEAD = `# Where channels leave upper front crowns: a simulation

Written by \`npm run exit-classes\`; \`npm run exit-classes -- --short\` prints a small run. Everything follows from seeds.

**What this is.** Published studies disagree about how often a straight screw channel leaves a front crown palatally,
incisally or facially. Here fixtures are drawn from published root, crown and process angles and put under the average
crowns of the table; the library tells where each channel leaves. Nothing was tuned to the published shares. They were not
expected to come out; their ordering was: facial exits grow with the fixture's tilt, and laterals need angled channels most.
These are not clinical results.`

const MODEL = `**What is drawn.** The sagittal plane alone, in the crown's frame; every quantity independently of the others.
Crown-root angle 1.9 ± 6.5° (central), 4.2 ± 5.8° (lateral), cone-beam study of 30 persons, positive where the root's axis
runs facial of the crown's (that sign from memory); canine 0 ± 6°, our own choice, no figure being at hand. Root to
alveolar process 15° and 19° (BMC Oral Health 2021 21:494), canine 12.1° (dos Santos 2019, all upper teeth together), SD
7.3° from the counts of the first study. Bone facial of the root 0.9 ± 0.4 mm at its middle and 2.04 ± 1.01 mm at its
apex, palatal 3.76 ± 1.37 mm (Lau 2011, central incisors; taken for all three). Platform 3 to 4 mm below the margin
(common practice). Crowns, roots and cervical widths are the table's averages.

**Rules.** *Root axis*: the fixture stands on the root's axis. *Process axis*: on the middle line of the bone. *Palatal,
aimed*: 2 mm behind the facial socket wall, aimed at an exit 1.5 mm palatal of the edge, leant facially only where the facial
bone at the fixture's apex would fall under 1 mm.

**Words.** Classes as in the library: palatal from 1.5 mm behind the edge line on, facial from 1.5 mm before it or on the
facial face more than 1 mm from the edge, incisal between. Bend: the least angle, 3 mm above the platform, that brings the
exit 1.5 mm behind the edge. Shares in percent with their standard errors, angles in degrees, tilt against the crown's long
axis, facial positive.`

/** The whole page. `alike`: the cases with the lateral's angles for every tooth. */
export function page(found: Study, alike: readonly StudyCase[]): string {
  const { draws } = found.options
  const lines = [
    ...[HEAD, '', MODEL, ''],
    ...section('Exit classes', [`${draws.count} draws of each tooth and rule.`], classTable(found)),
    ...section(
      'Bends needed',
      [`Of the first ${draws.corrected} draws; the mean is of those that a bend puts right.`],
      bendTable(found),
    ),
    ...section(
      'Facial exits by tilt',
      [
        `All three rules together, bins of at least ${found.options.leastInBin} draws; an axis that passes the crown facially counts as facial.`,
      ],
      tiltTable(found),
    ),
    ...section(
      'Beside the published shares',
      [
        'Simulated: the rule that is nearest to how those fixtures were planned; [2] and [3] against the three teeth together,\n' +
          'whose mixture there is not known. [1] Gonzalez-Martin and Veltri 2021, 144 sites. [2] J Prosthet Dent, PMID 33610330,\n' +
          '200 sites. [3] Radomsutthisarn 2024, PLoS One 19:e0308158, 548 sites.',
      ],
      publishedTable(found),
    ),
    ...section('The orderings', [], orderings(found, alike)),
    ...differences(found),
  ]
  return `${lines.join('\n').trimEnd()}\n`
}

/** How far apical of the edge the wanted exit lies, mm. */
function wantedDropMm(tooth: StudyTooth): number {
  const crown = tabulatedCrown(tooth)
  return wantedExit(crown)[2] - edgeAt(crown, 0)[2]
}

const yesNo = (is: boolean): string => (is ? 'yes' : 'no')

function orderings({ tilts, cases }: Study, alike: readonly StudyCase[]): string[] {
  const bends = (of: readonly StudyCase[], rule: (typeof RULES)[number]): string =>
    TEETH.map((tooth) => digits(meanBend(of, tooth, rule), 1)).join(' / ')
  return table(
    ['ordering', 'holds', 'numbers'],
    [
      ...TEETH.map((tooth) => [
        `${tooth}: facial share grows from tilt bin to tilt bin`,
        yesNo(growsWithTilt(tilts[tooth])),
        `${tilts[tooth].length} bins`,
      ]),
      ...RULES.map((rule) => [
        `${RULE_NAME[rule]}: laterals need the greatest mean bend (11 / 12 / 13)`,
        yesNo(lateralsMost(cases, rule)),
        bends(cases, rule),
      ]),
      ...RULES.map((rule) => [
        `${RULE_NAME[rule]}: the same, all three teeth with the lateral's angles`,
        yesNo(lateralsMost(alike, rule)),
        bends(alike, rule),
      ]),
    ],
  )
}

function differences({ together, cases }: Study): string[] {
  const central = cases.find(({ tooth, rule }) => tooth === '11' && rule === 'palatal')?.summary
  const straight = (share: number): string => percent(1 - share, 0)
  return [
    '## What does not agree, and why',
    '',
    ...[
      `- **Planning to crown and root.** With the axis fixed on the root ${straight(together.tooth.corrections.over[0].share)} % leave 1.5 mm behind the edge; published 24 %.`,
      '  A planner turns and shifts the fixture until the exit is better, a rule does not; and "straight" need not have meant',
      `  1.5 mm there: ${percent(together.tooth.behindEdge.share, 0)} % leave behind the edge by however little. Bends came there in steps of 5°.`,
      `- **Palatal socket.** The aim is met in ${percent(central?.aimed?.share ?? Number.NaN, 0)} % of centrals; published 24 %. Here only the facial bone at the`,
      '  apex holds the fixture back, it may stand anywhere else, and no site is left out; how much freedom the published',
      '  fixtures had in the palatal part of the socket we do not know.',
      `- **Process axis.** ${percent(together.process.corrections.over[4].share, 0)} % need more than 25°; published 15 % ended with cement. A fixture in the very middle of`,
      '  the bone is one end of the range, one on the root the other; the published ones may have stood between.',
      '- **Anatomy.** The average crown stands for all. Angles and bone are drawn independently, while in persons they go',
      '  together. Canine angles are partly our own choice and the bone is that of centrals, so that the order under the palatal',
      "  rule means little. The rows with the lateral's angles for all teeth show what crown, root and fixture alone do.",
      `- **Bends.** The place 1.5 mm behind the edge lies ${TEETH.map((tooth) => digits(wantedDropMm(tooth), 1)).join(', ')} mm below it on the table's crowns (${TEETH.join(', ')}), nearer to`,
      '  the pivot than the edge is, so that bends found on the surface are larger than bends reckoned at its level. On two scanned',
      '  centrals of one person, 8.1 mm long, it lies 4.1 and 4.3 mm below: half way down as well.',
    ],
    '',
  ]
}
