import {
  type AccessChannel,
  type AngledChannel,
  accessChannel,
  accessExit,
  corners,
  cross,
  distance,
  dot,
  enclosedVolume,
  type Plan,
  placedCrown,
  subtract,
  type Vec3,
} from '@alveometer/core'
import { describe, expect, it } from 'vitest'
import { accessLines, channelTube } from '../src/scene/access-shapes.js'
import {
  axisLetters,
  frame,
  lookFrom,
  type Orbit,
  pan,
  project,
  seenFrom,
  turn,
  viewAxes,
  zoom,
} from '../src/scene/orbit.js'
import { cutDirection, cutFor, firstDirection, outlineInCut, placeInScene } from '../src/scene/placement.js'
import { boxCorners, fixtureBody, inflated, vertexNormals } from '../src/scene/solids.js'

const SIZE = { width: 400, height: 300 }
const FRONT: Orbit = { yawDeg: 0, pitchDeg: 0, centre: [0, 0, 0], halfHeightMm: 15 }

/** Pixel of a point 5 mm from the centre: right of, left of, above or below the middle. */
function place(orbit: Orbit, direction: Vec3): string {
  const [x, y] = project(orbit, SIZE, direction.map((d) => 5 * d) as unknown as Vec3)
  if (Math.hypot(x - 200, y - 150) < 1) return 'middle'
  if (Math.abs(x - 200) > Math.abs(y - 150)) return x > 200 ? 'right' : 'left'
  return y < 150 ? 'up' : 'down'
}

// LPS: +x = patient's left, +y = posterior, +z = superior (DICOM PS3.3 C.7.6.2.1.1).
const LEFT: Vec3 = [1, 0, 0]
const POSTERIOR: Vec3 = [0, 1, 0]
const SUPERIOR: Vec3 = [0, 0, 1]

describe('the orbit', () => {
  it('shows a patient seen from the front upright, with their left on the right', () => {
    expect(place(FRONT, LEFT)).toBe('right')
    expect(place(FRONT, SUPERIOR)).toBe('up')
    expect(place(FRONT, POSTERIOR)).toBe('middle')
    expect(seenFrom(FRONT)).toBe('anterior')
  })

  it('shows the face to the left when seen from the patient’s left, and to the right from the right', () => {
    const fromLeft = lookFrom(FRONT, LEFT)
    expect(place(fromLeft, POSTERIOR)).toBe('right')
    expect(place(fromLeft, SUPERIOR)).toBe('up')
    expect(seenFrom(fromLeft)).toBe('left')
    const fromRight = lookFrom(FRONT, [-1, 0, 0])
    expect(place(fromRight, POSTERIOR)).toBe('left')
    expect(seenFrom(fromRight)).toBe('right')
  })

  it('shows the patient’s left on the right from below with the face up', () => {
    const fromBelow = lookFrom(FRONT, [0, -1e-9, -1])
    expect(place(fromBelow, LEFT)).toBe('right')
    expect(place(fromBelow, [0, -1, 0])).toBe('up')
  })

  it('names the ends of the axes where their points are drawn', () => {
    const orbit = lookFrom(FRONT, [0.4, -0.8, -0.3])
    const directions = {
      L: LEFT,
      R: [-1, 0, 0],
      P: POSTERIOR,
      A: [0, -1, 0],
      S: SUPERIOR,
      I: [0, 0, -1],
    } as const
    for (const axis of axisLetters(orbit)) {
      const [x, y] = project(orbit, SIZE, directions[axis.letter])
      expect(Math.sign(x - 200)).toBe(Math.sign(axis.right))
      expect(Math.sign(150 - y)).toBe(Math.sign(axis.up))
    }
    const towards = axisLetters(orbit).filter((axis) => axis.towards > 0)
    expect(towards.map((axis) => axis.letter).sort()).toEqual(['A', 'I', 'L'])
  })

  it('keeps right-handed unit axes while turning and never tips over', () => {
    let orbit = FRONT
    for (let n = 0; n < 60; n++) orbit = turn(orbit, 17, n < 30 ? 9 : -9)
    const { right, up, toViewer } = viewAxes(orbit)
    for (const [a, b] of [
      [right, up],
      [up, toViewer],
      [toViewer, right],
    ] as const)
      expect(Math.abs(dot(a, b))).toBeLessThan(1e-12)
    expect(up[2]).toBeGreaterThanOrEqual(0)
  })

  it('turns the near side along with the pointer, zooms about the middle and pans by pixels', () => {
    const near: Vec3 = [0, -5, 0]
    expect(project(turn(FRONT, 10, 0), SIZE, near)[0]).toBeGreaterThan(200)
    expect(project(turn(FRONT, 0, 10), SIZE, near)[1]).toBeLessThan(150)
    expect(project(zoom(FRONT, 2), SIZE, LEFT)[0] - 200).toBeCloseTo(20, 9)
    expect(project(pan(FRONT, 30, -12, SIZE), SIZE, [0, 0, 0])).toEqual([230, 138])
  })

  it('frames points inside the picture', () => {
    const points = boxCorners({
      positions: Float64Array.of(-20, -60, 10, 25, -90, 40),
      triangles: new Uint32Array(),
    })
    const framed = frame(lookFrom(FRONT, [1, -1, 0.5]), SIZE, points)
    for (const p of points) {
      const [x, y] = project(framed, SIZE, p)
      expect(x).toBeGreaterThan(0)
      expect(x).toBeLessThan(400)
      expect(y).toBeGreaterThan(0)
      expect(y).toBeLessThan(300)
    }
    // And it turns about the middle of them.
    const [x, y] = project(turn(framed, 70, 25), SIZE, [2.5, -75, 25])
    expect(Math.hypot(x - 200, y - 150)).toBeLessThan(1e-9)
  })
})

const PLAN: Plan = {
  schema: 'alveometer-plan',
  version: 1,
  scan: { seriesUid: '1.2', frameOfReferenceUid: '1.3' },
  site: { tooth: '11', facial: [0, -1, 0], coronal: [0, 0, -1] },
  crown: { kind: 'tabulated', tooth: '11', pose: [0, 1, 0, 0, -1, 0, 0, -80, 0, 0, 1, 30, 0, 0, 0, 1] },
  fixture: {
    shape: { kind: 'cylinder', diameterMm: 4, lengthMm: 10 },
    platform: [0, -80, 34],
    apical: [0, 0.1, 0.995],
  },
  structures: [],
  limits: {},
}

describe('a plan in the scene', () => {
  it('is first seen from facial and a little from the crown’s end', () => {
    const orbit = lookFrom(FRONT, firstDirection(PLAN))
    expect(seenFrom(orbit)).toBe('anterior, inferior')
  })

  it('is cut in the plane of axis and facial direction, the near half taken away', () => {
    const placed = placeInScene(PLAN, null)
    expect(Math.abs(dot(placed.cutNormal, PLAN.fixture.apical))).toBeLessThan(1e-12)
    expect(Math.abs(dot(placed.cutNormal, PLAN.site.facial))).toBeLessThan(1e-12)
    for (const toViewer of [LEFT, [-1, 0, 0]] as const) {
      expect(dot(cutFor(placed, toViewer).normal, toViewer)).toBeLessThan(-0.99)
      const direction = cutDirection(PLAN, placed, toViewer)
      expect(dot(direction, toViewer)).toBeGreaterThan(0.9)
      expect(dot(direction, PLAN.site.facial)).toBeGreaterThan(0.2)
    }
  })

  it('draws the channel from beyond the apex to beyond the exit, and a ring across it there', () => {
    const point: Vec3 = [0, -81, 24.05]
    const placed = placeInScene(PLAN, { point })
    const [apex, end] = placed.channel
    expect(apex[2]).toBeGreaterThan(34 + 9.95 + 2)
    expect(end[2]).toBeLessThan(point[2] - 2)
    for (const p of placed.ring ?? []) expect(distance(p, point)).toBeCloseTo(1.1, 9)
  })
})

describe('the access channel in the scene', () => {
  const { fixture, site } = PLAN
  const question = { ...placedCrown(PLAN, undefined), fixture, site }
  const exit = accessExit(question)
  const channel = accessChannel(question)

  it('is a tube of the channel’s radius about the fixture axis, up to the exit’s outline', () => {
    const tube = channelTube(exit, channel)
    const rim = channel.outline ?? []
    expect(rim.length).toBeGreaterThan(20)
    const axis = Math.hypot(0, 0.1, 0.995)
    const positions = Array.from(tube?.positions ?? [])
    expect(positions.length).toBe(6 * rim.length)
    for (let n = 0; n < positions.length; n += 3) {
      const [x, y, z] = [positions[n], positions[n + 1] + 80, positions[n + 2] - 34]
      const along = (0.1 * y + 0.995 * z) / axis
      const off = Math.hypot(x, y - (along * 0.1) / axis, z - (along * 0.995) / axis)
      expect(off).toBeCloseTo(channel.diameterMm / 2, 6)
    }
    expect(positions.slice(3 * rim.length)).toEqual(rim.flat())
  })

  it('turns its faces outward, whichever way round its outline runs', () => {
    const outline = channel.outline ?? []
    const back: AccessChannel = { ...channel, outline: [...outline].reverse() }
    for (const given of [channel, back]) {
      const tube = channelTube(exit, given)
      if (tube === null) throw new Error('no tube')
      expect(tube.triangles.length).toBe(6 * outline.length)
      for (let t = 0; t < tube.triangles.length / 3; t++) {
        const [a, b, c] = corners(tube, t)
        const normal = cross(subtract(b, a), subtract(c, a))
        // Out of the axis, which leans by 0.1 in 0.995 from the platform on.
        const lean = (0.1 / 0.995) * (a[2] - 34)
        expect(dot(normal, [a[0], a[1] + 80 - lean, 0])).toBeGreaterThan(0)
      }
    }
  })

  it('is not there where the axis meets no crown', () => {
    expect(channelTube({ ...exit, channel: null }, channel)).toBeNull()
    expect(channelTube(exit, { ...channel, outline: null })).toBeNull()
    expect(channelTube(null, null)).toBeNull()
  })

  it('has a bent centre line only where a channel needs to bend', () => {
    const angled: AngledChannel = {
      pivot: [0, -80, 31],
      limitDeg: 25,
      least: { correctionDeg: 12, exit: [0, -77, 27], wall: null },
      leastWithWall: null,
      reachable: null,
    }
    const { bend, reach } = accessLines(channel, angled)
    expect(reach).toBeNull()
    expect(bend?.deg).toBe(12)
    // From the bend straight through the exit and 2 mm on: 3-4-5.
    expect(bend?.line[0]).toEqual([0, -80, 31])
    expect(distance(bend?.line[1] ?? [0, 0, 0], [0, -77 + 1.2, 27 - 1.6])).toBeLessThan(1e-9)
    const straight = { correctionDeg: 0, exit: [0, -80, 24] as const, wall: null }
    expect(accessLines(channel, { ...angled, least: straight }).bend).toBeNull()
    expect(accessLines(null, null)).toEqual({ rim: null, reach: null, bend: null })
  })
})

describe('the fixture’s body', () => {
  it('has the volume of its cylinder and of its cone, winding outward', () => {
    // The 64-sided prism holds sin(2 pi / 64) / (2 pi / 64) of the circle's area.
    const polygon = Math.sin((2 * Math.PI) / 64) / ((2 * Math.PI) / 64)
    const cylinder = fixtureBody({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 }, true)
    expect(enclosedVolume(cylinder)).toBeCloseTo(polygon * Math.PI * 4 * 10, 6)
    const cone = fixtureBody({ kind: 'tapered', diameterMm: 4, apexDiameterMm: 2, lengthMm: 9 }, false)
    expect(enclosedVolume(cone)).toBeCloseTo((polygon * Math.PI * 9 * (4 + 2 + 1)) / 3, 6)
  })

  it('grows outward by its normals', () => {
    const body = fixtureBody({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 }, false)
    expect(enclosedVolume(inflated(body, vertexNormals(body), 0.1))).toBeGreaterThan(
      enclosedVolume(body) * 1.05,
    )
  })

  it('shows as a closed line of 28 mm, a rectangle of 4 x 10, in the cut', () => {
    const body = fixtureBody({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 }, false)
    const placed = placeInScene(PLAN, null)
    const lines = outlineInCut({ mesh: body, pose: placed.fixturePose }, placed)
    expect(lines).toHaveLength(1)
    const points = lines[0]?.points ?? []
    const around = points.reduce((sum, p, n) => sum + distance(p, points[(n + 1) % points.length] as Vec3), 0)
    expect(around).toBeCloseTo(28, 1)
    for (const p of points)
      expect(Math.abs(dot(placed.cutNormal, p) - dot(placed.cutNormal, placed.cutOrigin))).toBeLessThan(1e-9)
  })
})
