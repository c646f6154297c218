import type { Mesh, Vec3 } from '../space/index.js'
import { leastPath } from './crest-path.js'
import { columnPoint, columnX, extent, type HeightProfile, heightProfiles } from './height-profile.js'
import { cuspCrests, firstSummit } from './mesh-crests.js'

/** Ends of an edge line that a person set, crown frame, mm. */
export interface EdgeEnds {
  readonly edgeMesial?: Vec3
  readonly edgeDistal?: Vec3
}

/** Sections across the edge line, and the share of the crown's width they cover. */
const SECTIONS = 41
const COVERED = 0.92
/** What a bend of a line costs against height: a step of a column (0.1 mm) between two sections like so many mm. */
const BEND = 0.02
/** The edge is as broad as the surface stays within this of its highest point, mm: worn edges are flat. */
const EDGE_BAND_MM = 0.15
/** A central groove ends so far inside the marginal ridges, mm. Own choice. */
const PIT_INSET_MM = 1
/** Two ridges nearer to each other than this share of the sections are not the marginal ones. Own choice. */
const LEAST_TABLE_SHARE = 0.5
/** Where a marginal ridge stands when none is found: share of the sections from either end. */
const FALLBACK_SHARE = 0.1

/** The incisal-edge line of a crown in its frame, from the mesial to the distal end: along the highest points. */
export function incisalEdge(mesh: Mesh, mesialSign: 1 | -1, ends: EdgeEnds): Vec3[] {
  const profiles = sectionsOf(mesh, mesialSign, ends)
  const line = smoothed(ridgeLine(profiles))
  return between(ends.edgeMesial || ends.edgeDistal ? line : withoutCorners(line), ends)
}

/** What is found on the occlusal surface of a posterior crown in its frame. */
export interface OcclusalLines {
  /** Central groove, from mesial to distal. */
  readonly groove: readonly Vec3[]
  /** Outline through the crests of the cusps and over the marginal ridges, [x, y]. */
  readonly table: readonly (readonly [number, number])[]
}

/** The central groove and the occlusal table of a posterior crown. */
export function occlusalLines(mesh: Mesh, mesialSign: 1 | -1, ends: EdgeEnds): OcclusalLines {
  const whole = sectionsOf(mesh, mesialSign, {})
  const { floor, floorZ, facial, oral } = occlusalRelief(whole)
  const [first, last] = marginalRidges(floorZ)
  const inset = (p: Vec3): boolean =>
    Math.abs(p[1] - floor[first][1]) >= PIT_INSET_MM && Math.abs(p[1] - floor[last][1]) >= PIT_INSET_MM
  const table = [...facial.slice(first, last + 1), ...oral.slice(first, last + 1).reverse()].map(
    (p) => [p[0], p[1]] as const,
  )
  if (ends.edgeMesial || ends.edgeDistal) {
    const marked = sectionsOf(mesh, mesialSign, fallbackEnds(floor, first, last, ends))
    return { groove: between(occlusalRelief(marked).floor, ends), table }
  }
  const middle = floor.slice(first, last + 1)
  const pits = middle.filter(inset)
  return { groove: smoothed(pits.length > 2 ? pits : middle), table }
}

/** One end set by hand, the other as found. */
const fallbackEnds = (floor: readonly Vec3[], first: number, last: number, ends: EdgeEnds): EdgeEnds => ({
  edgeMesial: ends.edgeMesial ?? floor[first],
  edgeDistal: ends.edgeDistal ?? floor[last],
})

function sectionsOf(mesh: Mesh, mesialSign: 1 | -1, ends: EdgeEnds): HeightProfile[] {
  const [low, high] = extent(mesh, 1)
  const inset = ((1 - COVERED) / 2) * (high - low)
  const mesial = ends.edgeMesial?.[1] ?? (mesialSign > 0 ? high - inset : low + inset)
  const distal = ends.edgeDistal?.[1] ?? (mesialSign > 0 ? low + inset : high - inset)
  return heightProfiles(mesh, mesial, distal, SECTIONS)
}

function ridgeLine(profiles: readonly HeightProfile[]): Vec3[] {
  const path = leastPath(
    profiles.map(({ z }) => z.map((v) => (Number.isNaN(v) ? Number.POSITIVE_INFINITY : v))),
    BEND,
  )
  return (path ?? []).map((column, n) => middleOfEdge(profiles[n], column))
}

/** The middle of the surface round a column that stays within the band of the highest point there. */
function middleOfEdge(profile: HeightProfile, column: number): Vec3 {
  const { z, y, stepMm } = profile
  let top = column
  const reach = Math.ceil(2 * (EDGE_BAND_MM / Math.max(stepMm, 1e-9)))
  for (let c = Math.max(0, column - reach); c <= Math.min(z.length - 1, column + reach); c++)
    if (z[c] < z[top]) top = c
  let low = top
  let high = top
  while (low > 0 && z[low - 1] <= z[top] + EDGE_BAND_MM) low--
  while (high + 1 < z.length && z[high + 1] <= z[top] + EDGE_BAND_MM) high++
  return [(columnX(profile, low) + columnX(profile, high)) / 2, y, z[top]]
}

/** The lowest way between the crests, its height for telling marginal ridges, and the crests. */
function occlusalRelief(profiles: readonly HeightProfile[]) {
  const crests = cuspCrests(profiles)
  const hollows = crests.flatMap(({ single }, n) => (single ? [] : [n]))
  const path = leastPath(
    profiles.map(({ z }, n) =>
      z.map((v, c) => {
        if (Number.isNaN(v) || c > crests[n].facial || c < crests[n].oral) return Number.POSITIVE_INFINITY
        // Where there is no hollow the line runs on straight between its neighbours.
        return crests[n].single ? 0 : -v
      }),
    ),
    BEND,
  )
  const columns = path ?? crests.map(({ facial, oral }) => Math.round((facial + oral) / 2))
  const beyond = (n: number): boolean =>
    hollows.length > 0 && (n < hollows[0] || n > hollows[hollows.length - 1])
  return {
    floor: profiles.map((profile, n) => columnPoint(profile, columns[n])),
    /** Beyond the last hollow it is the section's summit: what falls off to the contacts. */
    floorZ: profiles.map(({ z }, n) => z[beyond(n) ? crests[n].summit : columns[n]]),
    facial: profiles.map((profile, n) => columnPoint(profile, crests[n].facial)),
    oral: profiles.map((profile, n) => columnPoint(profile, crests[n].oral)),
  }
}

/** The two sections where the occlusal floor is highest before it falls off to the contacts: the marginal ridges. */
function marginalRidges(floorZ: readonly number[]): [number, number] {
  const last = floorZ.length - 1
  const first = firstSummit(floorZ, 0, 1)
  const end = firstSummit(floorZ, last, -1)
  if (first !== null && end !== null && end - first >= LEAST_TABLE_SHARE * last) return [first, end]
  return [Math.round(FALLBACK_SHARE * last), Math.round((1 - FALLBACK_SHARE) * last)]
}

/** The part round the middle that runs less steeply than 45 degrees: beyond are the rounded corners, not the edge. */
function withoutCorners(line: readonly Vec3[]): Vec3[] {
  const steep = (i: number) => Math.abs(line[i][2] - line[i - 1][2]) > Math.abs(line[i][1] - line[i - 1][1])
  let first = Math.floor(line.length / 2)
  let last = first
  while (first > 0 && !steep(first)) first--
  while (last + 1 < line.length && !steep(last + 1)) last++
  return last > first ? line.slice(first, last + 1) : [...line]
}

/** x evened out over three sections: a scan's noise. The ends stay. */
const smoothed = (line: readonly Vec3[]): Vec3[] =>
  line.map((p, i): Vec3 => {
    if (i === 0 || i + 1 === line.length) return p
    return [(line[i - 1][0] + p[0] + line[i + 1][0]) / 3, p[1], p[2]]
  })

/** The line with the ends that a person set, exactly. Without a line between them the two ends alone. */
function between(line: readonly Vec3[], { edgeMesial, edgeDistal }: EdgeEnds): Vec3[] {
  if (!edgeMesial && !edgeDistal) return [...line]
  const mesial = edgeMesial ?? line[0]
  const distal = edgeDistal ?? line[line.length - 1]
  if (mesial === undefined || distal === undefined) return [...line]
  const inside = line.filter((p) => (p[1] - mesial[1]) * (p[1] - distal[1]) < 0)
  return [mesial, ...inside, distal]
}
