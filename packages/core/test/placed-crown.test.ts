import { describe, expect, test } from 'vitest'
import {
  adoptMesh,
  type Crown,
  crownMeshOf,
  likelierPlace,
  lpsRasSwapped,
  type Mesh,
  mirroredMesh,
  type PlacedCrown,
  type Plan,
  type PlannedMeshCrown,
  placedCrown,
  scaledMesh,
  sizeOf,
  tabulatedCrown,
} from '../src/index.js'
import {
  angleDeg,
  column,
  distance,
  fromFrame,
  fromRows,
  invert,
  type Mat4,
  toRows,
  transformPoint,
  type Vec3,
} from '../src/space/index.js'
import { movedMesh } from './crown-shells.js'
import { uprightPlan } from './plan-fixture.js'

/** From the crown frame to the coordinates of a file, somewhere else and turned. */
const FILE = fromFrame([0, 0, 1], [1, 0, 0], [0, 1, 0], [100, -20, 7])
const IDENTITY = fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [0, 0, 0])

const withMesh = (crown: Partial<PlannedMeshCrown>): Plan =>
  uprightPlan({ crown: { kind: 'mesh', file: 'crown.stl', pose: toRows(IDENTITY), ...crown } })

/** Where a point of the crown frame stands in the patient. */
const inPatient = ({ pose }: PlacedCrown, p: Vec3): Vec3 => transformPoint(pose, p)
const lowest = (crown: Crown): Vec3 => crown.landmarks.edgeCentre

describe('placedCrown', () => {
  test('a tabulated crown has the size the plan says, where its pose puts it', () => {
    const plan = uprightPlan()
    const sized: Plan = {
      ...plan,
      crown: { kind: 'tabulated', tooth: '11', pose: plan.crown.pose, size: { lengthMm: 9, widthMdMm: 8 } },
    }
    const { crown, pose } = placedCrown(sized)
    expect(sizeOf(crown).lengthMm).toBeCloseTo(9, 2)
    expect(sizeOf(crown).widthMdMm).toBeCloseTo(8, 2)
    expect(pose).toEqual(fromRows(plan.crown.pose))
    expect(placedCrown(sized).crown).toBe(crown)
  })

  test('unit, RAS and mirror of a file are undone before anything is found', () => {
    const known = tabulatedCrown('11')
    const own = movedMesh(known.mesh, FILE)
    const file: Mesh = scaledMesh(lpsRasSwapped(mirroredMesh(own)), 1 / 25.4)
    const plan = withMesh({ tooth: '21', unitMm: 25.4, space: 'ras', frame: toRows(FILE) })
    // Mirror after RAS turns x over, whichever comes first: the file's mesh becomes the crown's own again.
    const { crown, pose } = placedCrown(plan, file)
    for (const size of ['lengthMm', 'widthMdMm', 'widthLlMm'] as const)
      expect(sizeOf(crown)[size]).toBeCloseTo(sizeOf(known)[size], 6)
    expect(distance(column(pose, 3), column(FILE, 3))).toBeLessThan(1e-9)
  })

  test('a drag costs nothing: the same crown as long as mesh, frame and marks are the same', () => {
    const mesh = movedMesh(tabulatedCrown('11').mesh, FILE)
    const plan = withMesh({ frame: toRows(FILE) })
    const { crown } = placedCrown(plan, mesh)
    const dragged = withMesh({
      frame: toRows(FILE),
      pose: toRows(fromFrame([0, 1, 0], [-1, 0, 0], [0, 0, 1], [1, 2, 3])),
    })
    expect(placedCrown(dragged, mesh).crown).toBe(crown)
    expect(placedCrown(dragged, mesh).pose).not.toEqual(placedCrown(plan, mesh).pose)
    const marked = withMesh({ frame: toRows(FILE), marks: { zenith: [101, -20, 9] } })
    expect(placedCrown(marked, mesh).crown).not.toBe(crown)
    // Back again, as by undoing the mark.
    expect(placedCrown(plan, mesh).crown).toBe(crown)
  })

  test('without a frame the axes are the site’s directions, also while it is moved', () => {
    const mesh = movedMesh(tabulatedCrown('11').mesh, FILE)
    const at = (x: number) => {
      const toFrame = invert(FILE)
      return withMesh({
        pose: toRows([...toFrame.slice(0, 12), toFrame[12] + x, toFrame[13], toFrame[14], 1]),
      })
    }
    const first = placedCrown(at(0), mesh)
    expect(angleDeg(column(first.pose, 2), [0, 0, 1])).toBeLessThan(1e-6)
    expect(angleDeg(column(first.pose, 0), [1, 0, 0])).toBeLessThan(1e-6)
    expect(placedCrown(at(0.3), mesh).crown).toBe(first.crown)
  })

  test('a mesh that was not read is asked for by its file', () => {
    expect(() => placedCrown(withMesh({}))).toThrow('crown.stl was not read: give its mesh')
  })
})

describe('the tabulated 21 mirrored is the tabulated 11', () => {
  test('vertex by vertex, turned by half about z', () => {
    const own = crownMeshOf(
      { kind: 'mesh', file: '', pose: [], tooth: '21' },
      '11',
      tabulatedCrown('21').mesh,
    )
    // The mirror turns x over, the table y: between the two lies half a turn about z.
    const turned = movedMesh(own, fromFrame([-1, 0, 0], [0, -1, 0], [0, 0, 1], [0, 0, 0]))
    const known = tabulatedCrown('11').mesh
    expect(turned.positions.length).toBe(known.positions.length)
    turned.positions.forEach((v, i) => {
      expect(Math.abs(v - known.positions[i])).toBeLessThan(1e-9)
    })
  })
})

describe('adoptMesh', () => {
  const known = tabulatedCrown('11')
  const file = movedMesh(known.mesh, FILE)
  const stands = placedCrown(uprightPlan())

  /** From the middle of a crown's edge to where it was. */
  const apart = (placed: PlacedCrown): number =>
    distance(inPatient(placed, lowest(placed.crown)), inPatient(stands, lowest(known)))

  test('onto the site: its edge where the present one is, its axes along the present ones', () => {
    const plan = uprightPlan()
    const { crown, sure } = adoptMesh(plan, 'crown.stl', file, { where: 'site' })
    const placed = placedCrown({ ...plan, crown }, file)
    expect(sure).toBe(true)
    expect(crown).not.toHaveProperty('unitMm')
    expect(crown).not.toHaveProperty('space')
    expect(crown).not.toHaveProperty('tooth')
    expect(apart(placed)).toBeLessThan(1e-6)
    expect(angleDeg(column(placed.pose, 2), column(stands.pose, 2))).toBeLessThan(1e-4)
  })

  test('with the file’s coordinates: not moved, and the directions of the site settle the frame', () => {
    const inScan = movedMesh(known.mesh, stands.pose)
    const { crown, sure } = adoptMesh(uprightPlan(), 'crown.stl', inScan, { where: 'file' })
    expect(crown.pose).toEqual(toRows(IDENTITY))
    expect(sure).toBe(true)
    const placed = placedCrown({ ...uprightPlan(), crown }, inScan)
    expect(angleDeg(column(placed.pose, 2), [0, 0, 1])).toBeLessThan(5)
    expect(angleDeg(column(placed.pose, 0), [1, 0, 0])).toBeLessThan(5)
  })

  test('with coordinates that are not the scan’s it is not sure', () => {
    const upsideDown = movedMesh(known.mesh, fromFrame([1, 0, 0], [0, -1, 0], [0, 0, -1], [0, 0, 0]))
    expect(adoptMesh(uprightPlan(), 'crown.stl', upsideDown, { where: 'file' }).sure).toBe(false)
  })

  test('mirrored from the other side, in inches: the crown of this side and size', () => {
    const other = scaledMesh(movedMesh(tabulatedCrown('21').mesh, FILE), 1 / 25.4)
    const { crown } = adoptMesh(uprightPlan(), 'other.stl', other, {
      where: 'site',
      mirrored: true,
      unitMm: 25.4,
    })
    expect(crown.tooth).toBe('21')
    const placed = placedCrown({ ...uprightPlan(), crown }, other)
    expect(placed.crown.tooth).toBe('11')
    expect(sizeOf(placed.crown).widthMdMm).toBeCloseTo(sizeOf(known).widthMdMm, 1)
    // Mesial is +y on 11.
    expect(placed.crown.landmarks.mesialContact[1]).toBeGreaterThan(3)
  })

  test('in the place of a mesh crown, whose mesh it needs', () => {
    const first = adoptMesh(uprightPlan(), 'a.stl', file, { where: 'site' })
    const plan = { ...uprightPlan(), crown: first.crown }
    const second = adoptMesh(plan, 'b.stl', known.mesh, { where: 'site', presentMesh: file })
    const placed = placedCrown({ ...plan, crown: second.crown }, known.mesh)
    expect(apart(placed)).toBeLessThan(1e-6)
    expect(() => adoptMesh(plan, 'b.stl', known.mesh, { where: 'site' })).toThrow('a.stl was not read')
  })

  test('every alternative is a crown that can be placed', () => {
    const { alternatives } = adoptMesh(uprightPlan(), 'crown.stl', file, { where: 'site' })
    for (const crown of alternatives) {
      expect(apart(placedCrown({ ...uprightPlan(), crown }, file))).toBeLessThan(1e-6)
    }
  })
})

describe('likelierPlace', () => {
  const at = (matrix: Mat4): Mesh => movedMesh(tabulatedCrown('11').mesh, matrix)
  test('the file’s coordinates within 30 mm of the site, else the site', () => {
    expect(likelierPlace(uprightPlan(), at(placedCrown(uprightPlan()).pose))).toBe('file')
    expect(likelierPlace(uprightPlan(), at(FILE))).toBe('site')
  })
  test('RAS and unit count', () => {
    const plan = uprightPlan({
      fixture: { ...uprightPlan().fixture, platform: [-60, 40, 0] },
    })
    const ras = at(fromFrame([1, 0, 0], [0, 1, 0], [0, 0, 1], [60, -40, 0]))
    expect(likelierPlace(plan, ras)).toBe('site')
    expect(likelierPlace(plan, ras, { space: 'ras' })).toBe('file')
    expect(likelierPlace(plan, scaledMesh(ras, 0.1), { space: 'ras', unitMm: 10 })).toBe('file')
  })
})
