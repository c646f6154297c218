import type { Finding } from './assessment.js'
import { remark } from './finding.js'
import { shownMm } from './interval.js'
import type { Limit } from './limit.js'
import type { LimitValues } from './limits.js'
import type { SectorMargin } from './margin-cover.js'
import type { MarginResult } from './margin-result.js'
import { rayCount, stateCounts } from './ray-counts.js'
import { millimetres } from './words.js'

/** How much bone is left, sector by sector and at the nearest, against its limits. */
export function marginFindings(margin: MarginResult, limits: LimitValues): Finding[] {
  const gaps = noDataFindings(margin)
  if (margin.minimum === null)
    return [
      remark(
        'margin',
        'below',
        'No bone margin can be measured here: the fixture lies outside bone or outside the scan, or where data is missing.',
      ),
      ...gaps,
    ]
  const sectors = Object.entries(margin.sectors).map(([name, sector]) => {
    const facial = name === 'facial'
    return sectorFinding(
      name,
      sector,
      shownMm(margin.interval, sector.halfWidthMm ?? 0),
      limits(facial ? 'facialMarginMm' : 'marginMm'),
      limits(facial ? 'facialMarginTargetMm' : 'marginTargetMm'),
    )
  })
  return [
    ...sectors,
    nearestFinding(margin, margin.minimum, limits('marginMm')),
    ...apexFindings(margin, margin.minimum),
    ...gaps,
    howMeasured(margin),
    {
      code: 'interval',
      level: 'note',
      text: `The \u00b1 are 95 % intervals of reading these voxels. ${margin.interval.why}`,
      value: margin.interval.floorMm,
      limit: null,
      unit: 'mm',
      source:
        'cone-beam against dissection -0.32 to +0.38 mm: Timock 2011, AJODO 140:734; patients moved in about 20 % of scans: Spin-Neto 2016, OOOO 121:425',
    },
  ]
}

type Minimum = NonNullable<MarginResult['minimum']>

function nearestFinding(margin: MarginResult, { nearestMm, uncertaintyMm }: Minimum, least: Limit): Finding {
  const open = Object.values(margin.sectors).some(({ openRays }) => openRays > 0)
  const where = open ? ' where measured' : ''
  return {
    code: 'margin-nearest',
    level: nearestMm < least.value ? 'below' : open ? 'caution' : 'met',
    text:
      nearestMm < 0
        ? `The fixture sticks out of bone by ${millimetres(-nearestMm, uncertaintyMm)}${where}.`
        : `The outside of bone is ${millimetres(nearestMm, uncertaintyMm)} from the fixture at its nearest${where}.`,
    value: nearestMm,
    limit: least.value,
    unit: 'mm',
    source: least.source,
  }
}

/** Not held against a limit: what lies beyond differs (sinus, nose, nerve canal, outer cortex). */
function apexFindings({ aboveApexMm }: MarginResult, { uncertaintyMm }: Minimum): Finding[] {
  if (aboveApexMm === null) return []
  return [
    {
      code: 'bone-beyond-apex',
      level: 'note',
      text: `${millimetres(aboveApexMm, uncertaintyMm)} of bone on the axis beyond the apex.`,
      value: aboveApexMm,
      limit: null,
      unit: 'mm',
      source: 'measured along the axis',
    },
  ]
}

const howMeasured = ({ mode }: MarginResult): Finding => remark('measured', 'note', HOW_MEASURED[mode])

const HOW_MEASURED: Readonly<Record<MarginResult['mode'], string>> = {
  fast: 'Measured fast, as while the fixture is moved: where blurred grey falls to the level of soft tissue. The refined measurement fits an edge on every ray and tells how thick the plate is.',
  surface:
    'Measured on the surface of bone found for the whole site, as the tilt chart and the ways out are: where blurred grey falls to the level of soft tissue. The refined measurement fits an edge on every ray and tells how thick the plate is.',
  refined: 'Refined measurement: the blurred edge of the plate fitted on every ray.',
}

/** Rays that meet no data are told of; a caution only where it comes before they are through the wanted margin. */
function noDataFindings(margin: MarginResult): Finding[] {
  const without = stateCounts(margin)['no-data']
  if (without === 0) return []
  const open = Object.values(margin.sectors).reduce((sum, sector) => sum + sector.openRays, 0)
  const met = `${without} of ${rayCount(margin)} rays round the fixture meet missing data, or the end of the scan, before the outside of bone and give no number.`
  return [
    open > 0
      ? remark('margin-no-data', 'caution', `${met} The margins are those of the other rays.`)
      : remark('margin-no-data', 'note', `${met} The wanted margin of bone lies before it on all of them.`),
  ]
}

function sectorFinding(
  name: string,
  { minimumMm, rays, openRays }: SectorMargin,
  uncertaintyMm: number,
  least: Limit,
  target: Limit,
): Finding {
  const code = `margin-${name}`
  if (minimumMm === null)
    return remark(
      code,
      'caution',
      `No ${name} margin could be measured${openRays > 0 ? ': data is missing there' : ''}.`,
    )
  const standing = minimumMm < least.value ? 'below' : minimumMm < target.value ? 'between' : 'met'
  const against = standing === 'below' ? least : target
  const words = { below: 'below', between: 'below the wanted', met: 'at least the wanted' }[standing]
  const within = [...new Set([least.value, target.value])].filter(
    (v) => Math.abs(minimumMm - v) < uncertaintyMm,
  )
  const across =
    within.length === 0
      ? ''
      : `; ${within.join(' and ')} mm ${within.length === 1 ? 'lies' : 'lie'} within the interval`
  const thin = minimumMm >= 0 && minimumMm < 1 ? '; thin, may be unreliable' : ''
  const open = openRays > 0 ? `; ${openRays} of ${rays} rays there meet missing data, so it may be less` : ''
  const text = `Least ${name} bone ${millimetres(minimumMm, uncertaintyMm)}${openRays > 0 ? ' where measured' : ''}, ${words} ${against.value} mm${across}${thin}${open}.`
  const level = openRays > 0 && standing !== 'below' ? 'caution' : standing
  return { code, level, text, value: minimumMm, limit: against.value, unit: 'mm', source: against.source }
}
