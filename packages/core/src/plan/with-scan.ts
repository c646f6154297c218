import type { Volume } from '../volume/index.js'
import type { Plan } from './plan.js'

/** What a plan keeps of a volume; the voxels are not needed. */
export type ScanRecord = Pick<Volume, 'identity' | 'remarks' | 'confirmed'>

/**
 * The plan as it is to be saved: with the identity of the scan it was drawn on, all of that scan's remarks and what of
 * its geometry a person confirmed. Whatever else the plan holds stays as it is.
 */
export function withScan(plan: Plan, { identity, remarks, confirmed }: ScanRecord): Plan {
  const { confirmed: _, ...scan } = plan.scan
  return {
    ...plan,
    scan: { ...scan, ...identity, remarks, ...(confirmed === undefined ? {} : { confirmed }) },
  }
}
