import { corners, cross, dot, length, subtract } from '../space/index.js'
import { buildMeshTree, type MeshTree } from '../space/mesh-tree.js'
import { EDGE_HEIGHT_MM } from './access-exit.js'
import type { ChannelLimits } from './channel-result.js'
import type { ChannelSurface } from './channel-surface.js'
import { isPosterior } from './tooth.js'
import { partsIn } from './wanted-parts.js'
import { stripsBehindEdge, stripsOfTable, type WantedStrip } from './wanted-strips.js'

/** The part of a crown's surface where exits are wanted, as triangles in the crown frame. Not to be written to: shared. */
export interface WantedZone {
  readonly tree: MeshTree
  /** Of each place of the tree: the plane of the crown's triangle that it is a part of; nx x + ny y + nz z = d, outward. */
  readonly planes: Float64Array
  /** Every line that the zone's border runs along, and some inside it: six coordinates each. */
  readonly border: Float64Array
  /** Of each of these lines: the triangle of the crown on its side in the zone. */
  readonly borderOf: Uint32Array
}

type ZoneLimits = Pick<ChannelLimits, 'edgeBandMm' | 'wantedPalatalMm'>

/** So many zones of a crown are kept: limits change rarely. */
const KEPT = 4
const made = new WeakMap<ChannelSurface, Map<string, WantedZone>>()

/** Exactly the places that `isWanted` accepts, but for their border. Made once per crown and limits. */
export function wantedZone(surface: ChannelSurface, limits: ZoneLimits): WantedZone {
  const zones = made.get(surface) ?? new Map<string, WantedZone>()
  made.set(surface, zones)
  const key = `${limits.edgeBandMm} ${limits.wantedPalatalMm}`
  const known = zones.get(key)
  if (known) return known
  const zone = makeZone(surface, stripsOf(surface, limits))
  const [oldest] = zones.keys()
  if (zones.size >= KEPT && oldest !== undefined) zones.delete(oldest)
  zones.set(key, zone)
  return zone
}

function stripsOf({ crown }: ChannelSurface, { edgeBandMm, wantedPalatalMm }: ZoneLimits): WantedStrip[] {
  if (!isPosterior(crown.tooth))
    return stripsBehindEdge(crown, Math.max(edgeBandMm, wantedPalatalMm), EDGE_HEIGHT_MM)
  return crown.occlusalTable ? stripsOfTable(crown.occlusalTable) : []
}

function makeZone(surface: ChannelSurface, strips: readonly WantedStrip[]): WantedZone {
  const { mesh, regions } = surface.crown
  const positions: number[] = []
  const planes: number[] = []
  const border: number[] = []
  const borderOf: number[] = []
  const isWhole = new Uint8Array(regions.length)
  for (let t = 0; t < regions.length; t++) {
    if (regions[t] === 'base') continue
    const [a, b, c] = corners(mesh, t)
    const normal = cross(subtract(b, a), subtract(c, a))
    if (!(length(normal) > 0)) continue
    const parts = partsIn([a, b, c], strips, regions[t] === 'facial')
    if (parts === 'whole') isWhole[t] = 1
    for (const polygon of parts === 'whole' ? [[a, b, c]] : parts) {
      for (let n = 2; n < polygon.length; n++) {
        positions.push(...polygon[0], ...polygon[n - 1], ...polygon[n])
        planes.push(...normal, dot(normal, a))
      }
      if (parts !== 'whole')
        polygon.forEach((p, n) => {
          border.push(...p, ...polygon[(n + 1) % polygon.length])
          borderOf.push(t)
        })
    }
  }
  surface.neighbours.forEach((other, i) => {
    const t = Math.floor(i / 3)
    if (!isWhole[t] || (other >= 0 && isWhole[other])) return
    const triangle = corners(mesh, t)
    border.push(...triangle[i % 3], ...triangle[(i + 1) % 3])
    borderOf.push(t)
  })
  return {
    ...treeOf(positions, planes),
    border: Float64Array.from(border),
    borderOf: Uint32Array.from(borderOf),
  }
}

function treeOf(
  positions: readonly number[],
  planes: readonly number[],
): Pick<WantedZone, 'tree' | 'planes'> {
  const numbers = Uint32Array.from({ length: planes.length / 4 }, (_, piece) => piece)
  const mesh = {
    positions: Float64Array.from(positions),
    triangles: Uint32Array.from({ length: 3 * numbers.length }, (_, i) => i),
  }
  const tree = buildMeshTree(mesh, numbers)
  const ordered = new Float64Array(4 * tree.order.length)
  tree.order.forEach((piece, place) => {
    for (let k = 0; k < 4; k++) ordered[4 * place + k] = planes[4 * piece + k]
  })
  return { tree, planes: ordered }
}
