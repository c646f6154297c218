import { cross, dot } from '../space/index.js'
import type { Confirmation, GeometryPart } from '../volume/index.js'
import { direction, finite, type Json, positive, record, shown, string } from './fields.js'
import { PlanError } from './plan-error.js'

/** The scan of a plan. Codes of remarks that this version does not know are as good as any. */
export function checkScan(scan: Json): void {
  string(scan.seriesUid, 'scan.seriesUid')
  string(scan.frameOfReferenceUid, 'scan.frameOfReferenceUid')
  if (scan.fingerprint !== undefined) string(scan.fingerprint, 'scan.fingerprint')
  if (scan.remarks !== undefined) checkRemarks(scan.remarks)
  if (scan.confirmed !== undefined) checkConfirmed(record(scan.confirmed, 'scan.confirmed'))
}

function checkRemarks(remarks: unknown): void {
  if (!Array.isArray(remarks)) throw new PlanError('scan.remarks', `must be a list, got ${shown(remarks)}`)
  remarks.forEach((value: unknown, n) => {
    const path = `scan.remarks[${n}]`
    const remark = record(value, path)
    if (remark.level !== 'warn' && remark.level !== 'note')
      throw new PlanError(`${path}.level`, `must be "warn" or "note", got ${shown(remark.level)}`)
    if (string(remark.code, `${path}.code`) === '') throw new PlanError(`${path}.code`, 'must not be empty')
    string(remark.text, `${path}.text`)
    if (remark.facts === undefined) return
    for (const [name, fact] of Object.entries(record(remark.facts, `${path}.facts`)))
      if (typeof fact !== 'string') finite(fact, `${path}.facts.${name}`)
  })
}

const CONFIRMATIONS: Readonly<Record<Confirmation, true>> = {
  'known-length': true,
  typed: true,
  'from-header': true,
  chosen: true,
}
const PARTS: readonly GeometryPart[] = ['pixel-spacing', 'slice-step', 'orientation']

function checkConfirmed({ pixelSpacingMm, sliceStepMm, orientation, how }: Json): void {
  const path = 'scan.confirmed'
  if (pixelSpacingMm !== undefined) {
    if (!Array.isArray(pixelSpacingMm) || pixelSpacingMm.length !== 2)
      throw new PlanError(
        `${path}.pixelSpacingMm`,
        `must be two lengths, between rows and between columns, got ${shown(pixelSpacingMm)}`,
      )
    pixelSpacingMm.forEach((mm: unknown, n) => {
      positive(mm, `${path}.pixelSpacingMm[${n}]`)
    })
  }
  if (sliceStepMm !== undefined) positive(sliceStepMm, `${path}.sliceStepMm`)
  if (orientation !== undefined) checkOrientation(record(orientation, `${path}.orientation`))
  const ways = record(how, `${path}.how`)
  for (const part of PARTS) {
    const way = ways[part]
    if (way !== undefined && !(typeof way === 'string' && Object.hasOwn(CONFIRMATIONS, way)))
      throw new PlanError(
        `${path}.how.${part}`,
        `must be one of ${Object.keys(CONFIRMATIONS).join(', ')}, got ${shown(way)}`,
      )
  }
}

/** No three directions in a plane, or nearly: they would flatten the scan. */
const LEAST_VOLUME = 0.1

function checkOrientation(orientation: Json): void {
  const path = 'scan.confirmed.orientation'
  const row = direction(orientation.row, `${path}.row`)
  const column = direction(orientation.column, `${path}.column`)
  const slice = direction(orientation.slice, `${path}.slice`)
  if (Math.abs(dot(cross(row, column), slice)) < LEAST_VOLUME)
    throw new PlanError(path, 'must be three directions that do not lie in one plane')
}
