import { type Plan, type ScanRecord, withScan } from '@alveometer/core'
import type { ScanFacts } from '../engine/protocol.js'
import { defaultPlan } from '../session/default-plan.js'

/** What a plan keeps of a scan. */
export const recordOf = ({
  seriesUid,
  frameOfReferenceUid,
  fingerprint,
  remarks,
  confirmed,
}: ScanFacts): ScanRecord => ({
  identity: { seriesUid, frameOfReferenceUid, fingerprint },
  remarks,
  ...(confirmed ? { confirmed } : {}),
})

/** A plan to start from where there is none, in the middle of the scan. */
export const startingPlan = (facts: ScanFacts, tooth?: string): Plan =>
  withScan(defaultPlan(facts, tooth), recordOf(facts))

/** Whether a plan was made on another scan. By the voxels where one of them belongs to no series. */
export function isOfAnother({ scan }: Plan, facts: ScanFacts): boolean {
  const { seriesUid, fingerprint = '' } = scan
  if (seriesUid !== '' && facts.seriesUid !== '') return seriesUid !== facts.seriesUid
  return fingerprint !== '' && fingerprint !== facts.fingerprint
}
