import type { Workbench } from './workbench.js'

/**
 * Puts the collar to a depth, mm. Asked for in the collar it may lie above the platform, to show the crown there, and
 * while a place on a neighbour is looked for (`pointing`) anywhere; the section's line and the map stay on the fixture.
 */
export function placeCollar(bench: Workbench, depthMm: number, inCollar: boolean, pointing: boolean): void {
  const held = pointing && bench.raisedMm !== null
  if (inCollar && (depthMm < 0 || held)) {
    bench.raiseCollar(depthMm)
    return
  }
  if (!held) bench.raiseCollar(null)
  bench.collarDepthMm = depthMm
}
