import type { Vec3 } from '../space/index.js'
import type { CoarseField } from './coarse.js'
import type { Gaps } from './gaps.js'

/** What a cell of the exterior mask is. */
export const INSIDE = 0
export const OUTSIDE = 1
export const UNSCANNED = 2

/** Which cells of the coarse grid lie outside bone. Marrow and voids enclosed by bone are inside. */
export interface ExteriorMask {
  readonly cells: Uint8Array
  readonly shape: Vec3
  readonly step: Vec3
}

export interface ExteriorOptions {
  /** Blurred grey at or above this is bone. */
  readonly boneGrey: number
  /** Openings narrower than twice this do not let the outside in; 0.4 mm, at least a cell. */
  readonly closingMm?: number
  /** Blurred grey below this is air: every connected space that holds it is outside. */
  readonly airGrey?: number
}

/**
 * The outside of bone, found by flooding: cells at least `closingMm` from bone that hang together with the volume
 * border (or hold air), then grown back to the bone. Data that is missing between scanned places parts the scan: nothing
 * is flooded or grown across it, and it is no border. What then can only be told by what lies beyond it is `UNSCANNED`.
 */
export function exteriorMask(field: CoarseField, options: ExteriorOptions): ExteriorMask {
  const { values, shape, cellMm, gaps } = field
  const closingMm = options.closingMm ?? Math.max(0.4, Math.cbrt(cellMm[0] * cellMm[1] * cellMm[2]))
  const bone = new Uint8Array(values.length)
  for (let n = 0; n < values.length; n++) bone[n] = values[n] >= options.boneGrey ? 1 : 0
  const nearBone = grown(bone, shape, offsetsWithin(closingMm, cellMm), gaps)
  const core = new Uint8Array(values.length)
  for (let n = 0; n < core.length; n++) if (nearBone[n] === 0 && !Number.isNaN(values[n])) core[n] = 1
  const spaces = judgedSpaces(field, core, options.airGrey)
  const back = offsetsWithin(closingMm + Math.max(...cellMm) / 2, cellMm)
  const cells = new Uint8Array(values.length)
  for (const judgement of [UNSCANNED, OUTSIDE]) {
    if (!spaces.includes(judgement)) continue
    const marks = new Uint8Array(values.length)
    for (let n = 0; n < marks.length; n++) marks[n] = spaces[n] === judgement ? 1 : 0
    const reached = grown(marks, shape, back, gaps)
    for (let n = 0; n < cells.length; n++) if (reached[n] === 1 && bone[n] === 0) cells[n] = judgement
  }
  for (let n = 0; n < cells.length; n++) if (Number.isNaN(values[n])) cells[n] = UNSCANNED
  return { cells, shape, step: field.step }
}

/** A second border component counts when its contact with the border is at least this share of the largest one's. */
const BORDER_SHARE = 0.3
/** Enclosed air counts as outside (nose, sinus) from this volume on. */
const LEAST_AIR_MM3 = 20

/** A connected space of the core. */
interface Space {
  /** Cells at the border of the volume or beside what was never scanned. */
  readonly border: number
  readonly airCells: number
  /** The connected part of the scan it lies in; 0 where the scan is all of one piece. */
  readonly part: number
}

/** What each cell of the core is: INSIDE, OUTSIDE or, where missing data hides it, UNSCANNED. */
function judgedSpaces(
  field: CoarseField,
  core: Uint8Array,
  airGrey: number | undefined,
): Uint8Array<ArrayBuffer> {
  const { label, spaces } = connectedSpaces(field, core, airGrey)
  const [cx, cy, cz] = field.cellMm
  const most = new Map<number, number>()
  for (const { part, border } of spaces) most.set(part, Math.max(most.get(part) ?? 0, border))
  const judgements = Uint8Array.from(spaces, ({ border, airCells, part }) => {
    const greatest = most.get(part) ?? 0
    const atBorder = greatest > 0 && border >= BORDER_SHARE * greatest
    return atBorder || airCells * cx * cy * cz >= LEAST_AIR_MM3 ? OUTSIDE : INSIDE
  })
  judgements[0] = INSIDE
  for (const hidden of hiddenSpaces(field, label, judgements)) judgements[hidden] = UNSCANNED
  const cells = new Uint8Array(core.length)
  for (let n = 0; n < cells.length; n++) cells[n] = judgements[label[n]]
  return cells
}

/** The spaces of the core, numbered from 1; number 0 stands for all other cells. */
function connectedSpaces(
  { values, shape, gaps }: CoarseField,
  core: Uint8Array,
  airGrey: number | undefined,
): { readonly label: Uint32Array; readonly spaces: readonly Space[] } {
  const [nx, ny, nz] = shape
  const steps = [-1, 1, -nx, nx, -nx * ny, nx * ny]
  const rim = rimCells(shape)
  const label = new Uint32Array(core.length)
  const queue = new Uint32Array(core.length)
  const spaces: Space[] = [{ border: 0, airCells: 0, part: 0 }]
  for (let seed = 0; seed < core.length; seed++) {
    if (core[seed] !== 1 || label[seed] !== 0) continue
    const name = spaces.length
    let border = 0
    let airCells = 0
    let tail = 0
    queue[tail++] = seed
    label[seed] = name
    for (let head = 0; head < tail; head++) {
      const n = queue[head]
      if (airGrey !== undefined && values[n] < airGrey) airCells++
      const onRim = rim[n] === 1
      if (onRim) border++
      for (let side = 0; side < 6; side++) {
        if (onRim && !staysInside(n, side, nx, ny, nz)) continue
        const m = n + steps[side]
        if (core[m] === 1) {
          if (label[m] !== 0) continue
          label[m] = name
          queue[tail++] = m
        } else if (Number.isNaN(values[m]) && gaps?.between[m] !== 1) border++
      }
    }
    spaces.push({ border, airCells, part: gaps === undefined ? 0 : gaps.part[seed] })
  }
  return { label, spaces }
}

/**
 * Spaces judged enclosed, most of whose cells beside a gap face the outside across it: the outside going on, or marrow
 * whose wall lies in the gap. Which of the two was not scanned.
 */
function hiddenSpaces({ shape, gaps }: CoarseField, label: Uint32Array, judgements: Uint8Array): number[] {
  if (gaps === undefined) return []
  const [nx, ny, nz] = shape
  const steps = [-1, 1, -nx, nx, -nx * ny, nx * ny]
  const facing = new Uint32Array(judgements.length)
  const facingOutside = new Uint32Array(judgements.length)
  for (let n = 0; n < label.length; n++) {
    const space = label[n]
    if (space === 0 || judgements[space] !== INSIDE) continue
    for (let side = 0; side < 6; side++) {
      let m = n
      while (staysInside(m, side, nx, ny, nz) && gaps.part[m + steps[side]] === 0) m += steps[side]
      if (m === n || !staysInside(m, side, nx, ny, nz)) continue
      facing[space]++
      if (judgements[label[m + steps[side]]] === OUTSIDE) facingOutside[space]++
    }
  }
  return [...facing.keys()].filter((space) => facing[space] > 0 && 2 * facingOutside[space] >= facing[space])
}

/** Marks the cells on the six faces of the grid: only they need to know where they are. */
function rimCells([nx, ny, nz]: Vec3): Uint8Array {
  const rim = new Uint8Array(nx * ny * nz)
  for (let k = 0; k < nz; k++)
    for (let j = 0; j < ny; j++) {
      const row = nx * (j + ny * k)
      if (j === 0 || k === 0 || j === ny - 1 || k === nz - 1) rim.fill(1, row, row + nx)
      else {
        rim[row] = 1
        rim[row + nx - 1] = 1
      }
    }
  return rim
}

/** Whether a cell has a neighbour on a side: 0 and 1 along x, 2 and 3 along y, 4 and 5 along z. */
function staysInside(n: number, side: number, nx: number, ny: number, nz: number): boolean {
  const at = side < 2 ? n % nx : side < 4 ? Math.floor(n / nx) % ny : Math.floor(n / (nx * ny))
  const count = side < 2 ? nx : side < 4 ? ny : nz
  return side % 2 === 0 ? at > 0 : at < count - 1
}

/** The marked cells and every cell within the ball of one of them that lies in the same part of the scan. */
function grown(marks: Uint8Array, shape: Vec3, ball: readonly Vec3[], gaps: Gaps | undefined): Uint8Array {
  const [nx, ny, nz] = shape
  const out = Uint8Array.from(marks)
  const steps = ball.map(([i, j, k]) => i + nx * (j + ny * k))
  const reach = [0, 1, 2].map((a) => Math.max(0, ...ball.map((o) => Math.abs(o[a])))) as unknown as Vec3
  let n = 0
  for (let k = 0; k < nz; k++)
    for (let j = 0; j < ny; j++) {
      const row = k >= reach[2] && k < nz - reach[2] && j >= reach[1] && j < ny - reach[1]
      for (let i = 0; i < nx; i++, n++) {
        if (marks[n] !== 1 || enclosed(marks, n, i, j, k, shape)) continue
        if (row && i >= reach[0] && i < nx - reach[0]) {
          if (gaps === undefined) for (const step of steps) out[n + step] = 1
          else for (const step of steps) if (gaps.part[n + step] === gaps.part[n]) out[n + step] = 1
        } else
          for (const [di, dj, dk] of ball) {
            const [x, y, z] = [i + di, j + dj, k + dk]
            if (x < 0 || y < 0 || z < 0 || x >= nx || y >= ny || z >= nz) continue
            const m = x + nx * (y + ny * z)
            if (gaps === undefined || gaps.part[m] === gaps.part[n]) out[m] = 1
          }
      }
    }
  return out
}

/** All six neighbours marked: growing from this cell adds nothing that they do not add. */
const enclosed = (
  marks: Uint8Array,
  n: number,
  i: number,
  j: number,
  k: number,
  [nx, ny, nz]: Vec3,
): boolean =>
  i > 0 &&
  j > 0 &&
  k > 0 &&
  i < nx - 1 &&
  j < ny - 1 &&
  k < nz - 1 &&
  marks[n - 1] === 1 &&
  marks[n + 1] === 1 &&
  marks[n - nx] === 1 &&
  marks[n + nx] === 1 &&
  marks[n - nx * ny] === 1 &&
  marks[n + nx * ny] === 1

function offsetsWithin(radiusMm: number, cellMm: Vec3): Vec3[] {
  const offsets: Vec3[] = []
  const [ri, rj, rk] = cellMm.map((c) => Math.floor(radiusMm / c)) as unknown as Vec3
  for (let k = -rk; k <= rk; k++)
    for (let j = -rj; j <= rj; j++)
      for (let i = -ri; i <= ri; i++)
        if (Math.hypot(i * cellMm[0], j * cellMm[1], k * cellMm[2]) <= radiusMm) offsets.push([i, j, k])
  return offsets
}
