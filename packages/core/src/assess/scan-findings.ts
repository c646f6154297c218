import type { BoneModel } from '../bone/index.js'
import type { Plan } from '../plan/index.js'
import type { Confirmation, ConfirmedGeometry, GeometryPart, Volume } from '../volume/index.js'
import type { Finding } from './assessment.js'
import { remark } from './finding.js'

/** What there is to say about the scan itself and whether the plan belongs to it. */
export const scanFindings = (plan: Plan, { volume, calibration, exterior }: BoneModel): Finding[] => [
  ...remarkFindings(volume),
  ...(volume.confirmed === undefined ? [] : [confirmedFinding(volume.confirmed)]),
  ...otherScan(plan, volume),
  ...otherGeometry(plan.scan.confirmed, volume.confirmed),
  ...(calibration.thickCortex
    ? []
    : [
        remark(
          'thin-cortex-scan',
          'caution',
          'No thick cortical bone was found to calibrate the scan by: margins may be off by 0.15 mm more; their intervals include it.',
        ),
      ]),
  ...(exterior.leaky
    ? [
        remark(
          'leaky-scan',
          'caution',
          'Much of the outside of bone is reached through narrow openings only: plates may be too thin for this scan, and marrow may have been taken for the outside. Look at the section.',
        ),
      ]
    : []),
]

const CONFIRMED = 'geometry-confirmed'

/** Every warning; that of confirmed geometry is said by confirmedFinding, which knows more. */
const remarkFindings = ({ remarks, confirmed }: Volume): Finding[] =>
  remarks
    .filter(({ level, code }) => level === 'warn' && !(code === CONFIRMED && confirmed !== undefined))
    .map(({ code, text }) => remark(`scan-${code}`, 'caution', text))

const WAYS: Readonly<Record<Confirmation, string>> = {
  'known-length': 'by a known length in the picture',
  typed: 'typed',
  'from-header': 'taken from another place of the header',
  chosen: 'chosen by looking',
}

const PARTS: readonly GeometryPart[] = ['pixel-spacing', 'slice-step', 'orientation']
const NAMES: Readonly<Record<GeometryPart, string>> = {
  'pixel-spacing': 'pixel spacing',
  'slice-step': 'slice step',
  orientation: 'orientation',
}

/** What rests on a part of the geometry. */
const RESTS: Readonly<Record<GeometryPart, string>> = {
  'pixel-spacing': 'all lengths across the slices',
  'slice-step': 'all lengths along the stack of slices',
  orientation: 'left and right, front and back, up and down',
}

function confirmedFinding(confirmed: ConfirmedGeometry): Finding {
  const parts = PARTS.filter((part) => numbersOf(confirmed, part).length > 0).map((part) => {
    const size = part === 'orientation' ? '' : ` ${shown(confirmed, part)}`
    const way = confirmed.how[part]
    return `${NAMES[part]}${size}${way === undefined ? '' : ` (${WAYS[way]})`}, on which ${RESTS[part]} rest`
  })
  return remark(
    `scan-${CONFIRMED}`,
    'caution',
    `Not given by the file but confirmed by a person: ${parts.join('; ')}.`,
  )
}

function otherScan({ scan }: Plan, { identity }: Volume): Finding[] {
  const known = (a: string | undefined, b: string) => a !== undefined && a !== '' && b !== ''
  if (known(scan.seriesUid, identity.seriesUid) && scan.seriesUid !== identity.seriesUid)
    return [
      remark(
        'scan-mismatch',
        'caution',
        'The plan was made on another scan: check that it belongs to this patient and this series.',
      ),
    ]
  if (!known(scan.fingerprint, identity.fingerprint) || scan.fingerprint === identity.fingerprint) return []
  const text = known(scan.seriesUid, identity.seriesUid)
    ? 'The plan was made on this series loaded in another way (resolution, part or geometry) or with other voxels: check that it still fits.'
    : 'The plan was made on another scan, or on this one loaded in another way: check that it belongs here.'
  return [remark('scan-mismatch', 'caution', text)]
}

/** Only where the plan says what it was made with. */
function otherGeometry(
  planned: ConfirmedGeometry | undefined,
  loaded: ConfirmedGeometry | undefined,
): Finding[] {
  if (planned === undefined) return []
  const differences = PARTS.filter(
    (part) => !sameNumbers(numbersOf(planned, part), numbersOf(loaded, part)),
  ).map((part) => `${NAMES[part]} ${shown(planned, part)} then, ${shown(loaded, part)} now`)
  if (differences.length === 0) return []
  const text = `Another geometry was confirmed when the plan was made: ${differences.join('; ')}. Places and lengths of the plan do not carry over: load the scan with the same geometry or plan anew.`
  return [remark('scan-geometry-differs', 'caution', text)]
}

const mm = (value: number): string => `${Number(value.toFixed(4))}`

function shown(confirmed: ConfirmedGeometry | undefined, part: GeometryPart): string {
  const numbers = numbersOf(confirmed, part)
  if (numbers.length === 0) return 'from the file'
  if (part !== 'orientation') return `${numbers.map(mm).join(' x ')} mm`
  // The three directions one after the other.
  return [0, 3, 6]
    .map(
      (n) =>
        `(${numbers
          .slice(n, n + 3)
          .map(mm)
          .join(', ')})`,
    )
    .join(' ')
}

function numbersOf(confirmed: ConfirmedGeometry | undefined, part: GeometryPart): readonly number[] {
  if (confirmed === undefined) return []
  const { pixelSpacingMm, sliceStepMm, orientation } = confirmed
  if (part === 'pixel-spacing') return pixelSpacingMm ?? []
  if (part === 'slice-step') return sliceStepMm === undefined ? [] : [sliceStepMm]
  return orientation === undefined ? [] : [...orientation.row, ...orientation.column, ...orientation.slice]
}

/** Rounding in documents aside. */
const sameNumbers = (a: readonly number[], b: readonly number[]): boolean =>
  a.length === b.length && a.every((v, n) => Math.abs(v - b[n]) <= 1e-6)
