import { describe, expect, test } from 'vitest'
import { resolveLimits } from '../src/assess/limits.js'
import type { Restoration } from '../src/assess/restoration.js'
import { retentionFindings } from '../src/assess/retention.js'
import { RETENTION_STATEMENTS } from '../src/assess/retention-statements.js'
import type { Bend, ChannelWall, RetentionWay } from '../src/index.js'

const wallOf = (mm: number, region: ChannelWall['region'] = 'facial'): ChannelWall => ({
  mm,
  at: [0, 0, 0],
  region,
  bySide: { facial: null, oral: null, mesial: null, distal: null, edge: null },
  toEdge: { mm: 1, at: [0, 0, 0] },
  toMesialContact: { mm: 2, at: [0, 0, 0] },
  toDistalContact: { mm: 2, at: [0, 0, 0] },
})
const bend = (correctionDeg: number, mm = 1): Bend => ({ correctionDeg, exit: [0, 0, 0], wall: wallOf(mm) })

/** Everything measured as it is wanted, but for what is told. */
function restoration(
  told: {
    exit?: Partial<Restoration['exit']>
    channel?: Partial<Restoration['channel']>
    angled?: Partial<Restoration['angled']>
    emergence?: Partial<Restoration['emergence']>
  } = {},
): Restoration {
  return {
    exit: {
      class: 'palatal',
      point: [0, 0, 0],
      offsetMm: -1.8,
      exitHeightMm: 10,
      exitDistanceMm: 10,
      region: 'oral',
      tiltDeg: 0,
      tiltFacialDeg: 0,
      tiltMesialDeg: 0,
      channel: null,
      ...told.exit,
    },
    channel: {
      diameterMm: 2.3,
      outline: [],
      closedShare: 1,
      areaMm2: 4.2,
      centroid: [0, 0, 0],
      wall: wallOf(1),
      ...told.channel,
    },
    angled: {
      pivot: [0, 0, 0],
      limitDeg: 25,
      least: bend(0),
      leastWithWall: bend(0),
      reachable: null,
      ...told.angled,
    },
    emergence: {
      zenith: [0, 0, 0],
      belowMarginMm: 1,
      belowMesialCejMm: null,
      belowDistalCejMm: null,
      crownHeightMm: 10,
      profile: [],
      rimOralOfEmergenceMm: 1,
      ...told.emergence,
    },
  }
}

type Told = Parameters<typeof restoration>[0]

function way(which: RetentionWay, told: Told = {}, limits: Record<string, number> = {}, tooth = '11') {
  const found = retentionFindings(tooth, restoration(told), resolveLimits(tooth, limits)).find(
    (f) => f.way === which,
  )
  if (found === undefined) throw new Error(`no ${which}`)
  return { ...found, texts: found.because.map(({ text }) => text) }
}

describe('retentionFindings(tooth, restoration, limits)', () => {
  test('tells all three ways in the same order, whatever was measured', () => {
    const missed = { exit: { class: null, offsetMm: null }, angled: { least: null, leastWithWall: null } }
    for (const told of [{}, missed]) {
      const found = retentionFindings('11', restoration(told), resolveLimits('11', {}))
      expect(found.map((f) => f.way)).toEqual(['screw-straight', 'screw-angled', 'cemented'])
    }
    const open = retentionFindings('11', restoration(), resolveLimits('11', {}))
    expect(open.map((f) => f.verdict)).toEqual(['open', 'open', 'open'])
  })

  test('each number stands beside its limit, with a source', () => {
    for (const found of retentionFindings('11', restoration(), resolveLimits('11', {})))
      for (const { text, source } of found.because) {
        expect(text).toMatch(/\d.*; (wanted|usual)/)
        expect(source).not.toBe('')
        expect(text.length).toBeLessThan(180)
      }
  })
})

describe('screwed through a straight channel', () => {
  test.each([
    [
      'palatal',
      -1.8,
      'open',
      'The straight channel leaves 1.80 mm palatal of the incisal edge; wanted at least 1.5 mm palatal of it.',
    ],
    [
      'incisal',
      -0.4,
      'reserve',
      'The straight channel leaves 0.40 mm palatal of the incisal edge; wanted at least 1.5 mm palatal of it.',
    ],
    [
      'facial',
      2.31,
      'closed',
      'The straight channel leaves 2.31 mm facial of the incisal edge; wanted at least 1.5 mm palatal of it.',
    ],
  ] as const)('an exit that is %s, %d mm: %s', (exitClass, offsetMm, verdict, text) => {
    const found = way('screw-straight', { exit: { class: exitClass, offsetMm } })
    expect(found.verdict).toBe(verdict)
    expect(found.texts[0]).toBe(text)
  })

  test('low on the facial face the face is told', () => {
    const found = way('screw-straight', { exit: { class: 'facial', offsetMm: 0.9, region: 'facial' } })
    expect(found.texts[0]).toMatch(/leaves by the facial face, 0\.90 mm facial/)
  })

  test('of a back tooth the occlusal table decides', () => {
    const inside = way('screw-straight', { exit: { class: 'occlusal', offsetMm: 2 } }, {}, '36')
    expect(inside.verdict).toBe('open')
    expect(inside.texts[0]).toBe(
      'The straight channel leaves 2.00 mm facial of the central groove, through the occlusal table; wanted through it.',
    )
    expect(way('screw-straight', { exit: { class: 'lingual', offsetMm: -4 } }, {}, '36').verdict).toBe(
      'closed',
    )
  })

  test.each([
    [0.8, 'open', 'Its least wall is 0.80 mm, on the mesial face; wanted at least 0.8 mm.'],
    [0.42, 'closed', 'Its least wall is 0.42 mm, on the mesial face; wanted at least 0.8 mm.'],
    [
      -0.3,
      'closed',
      'The straight channel breaks through the crown on the mesial face by 0.30 mm; wanted at least 0.8 mm of wall.',
    ],
  ] as const)('a wall of %d mm: %s', (mm, verdict, text) => {
    const found = way('screw-straight', { channel: { wall: wallOf(mm, 'mesial') } })
    expect(found.verdict).toBe(verdict)
    expect(found.texts[1]).toBe(text)
  })

  test('a channel open at a side is closed to it, with the share', () => {
    const found = way('screw-straight', { channel: { closedShare: 0.875 } })
    expect(found.verdict).toBe('closed')
    expect(found.texts[1]).toBe(
      'The straight channel is open at a side: 13 % of its wall has no crown round it.',
    )
  })

  test('height 4 mm will do, 3.9 not', () => {
    expect(way('screw-straight', { emergence: { crownHeightMm: 4 } }).verdict).toBe('open')
    expect(way('screw-straight', { emergence: { crownHeightMm: 3.9 } }).verdict).toBe('closed')
  })

  test('where the axis misses the crown nothing else is told', () => {
    const found = way('screw-straight', { exit: { class: null, offsetMm: null } })
    expect(found.texts).toEqual(['The straight channel does not meet the crown.'])
    expect(found.verdict).toBe('closed')
  })

  test('limits set in the plan are in force', () => {
    expect(way('screw-straight', { channel: { wall: wallOf(0.6) } }, { leastWallMm: 0.5 }).verdict).toBe(
      'open',
    )
    expect(way('screw-straight', {}, { crownHeightScrewMm: 11 }).verdict).toBe('closed')
  })
})

describe('screwed through an angled channel', () => {
  test.each([
    [25, 'open'],
    [25.04, 'open'],
    [25.1, 'reserve'],
    [30, 'reserve'],
    [30.2, 'closed'],
  ] as const)('a bend of %d deg: %s', (deg, verdict) => {
    const found = way('screw-angled', { angled: { least: bend(deg), leastWithWall: bend(deg) } })
    expect(found.verdict).toBe(verdict)
    expect(found.texts[0]).toBe(
      `A bend of ${deg.toFixed(1)} deg brings the exit to the wanted place and keeps 0.8 mm of wall; usual parts bend by 25 deg at most, some by 30 deg.`,
    )
  })

  test('where the wall needs more of a bend, that one counts and both are told', () => {
    const found = way('screw-angled', { angled: { least: bend(14.2, 0.3), leastWithWall: bend(28.4) } })
    expect(found.verdict).toBe('reserve')
    expect(found.texts[0]).toMatch(/^A bend of 14\.2 deg .*, one of 28\.4 deg keeps 0\.8 mm of wall as well;/)
  })

  test('no bend that keeps the wall, and no bend at all', () => {
    const thin = way('screw-angled', { angled: { least: bend(14.2, 0.42), leastWithWall: null } })
    expect(thin.verdict).toBe('closed')
    expect(thin.texts[1]).toBe(
      'No bend to the wanted place keeps 0.8 mm of wall; the least bend leaves 0.42 mm on the facial face.',
    )
    const none = way('screw-angled', { angled: { least: null, leastWithWall: null } })
    expect(none.verdict).toBe('closed')
    expect(none.texts[0]).toBe('No bend up to 60 deg brings the exit to the wanted place.')
  })

  test('without need of a bend it says so', () => {
    expect(way('screw-angled').texts[0]).toMatch(/^Without any bend the exit is in the wanted place/)
  })

  test('height: 7.5 mm takes an abutment too, 4 mm a part on the fixture only', () => {
    for (const [crownHeightMm, verdict] of [
      [7.5, 'open'],
      [7.4, 'reserve'],
      [4, 'reserve'],
      [3.9, 'closed'],
    ] as const)
      expect(way('screw-angled', { emergence: { crownHeightMm } }).verdict).toBe(verdict)
  })
})

describe('cemented', () => {
  test.each([
    [
      -0.5,
      'open',
      'The platform lies 0.50 mm above the planned margin, a cement line no deeper; wanted 1 mm at most.',
    ],
    [
      1,
      'open',
      'The platform lies 1.00 mm below the planned margin, a cement line no deeper; wanted 1 mm at most.',
    ],
    [
      1.6,
      'reserve',
      'The platform lies 1.60 mm below the planned margin; a cement line is wanted 1 mm below it at most, 2 mm is the limit.',
    ],
    [
      3.5,
      'reserve',
      'The platform lies 3.50 mm below the planned margin: the abutment has to raise the cement line by 1.50 mm to the limit of 2 mm, by 2.50 mm to the wanted 1 mm.',
    ],
  ] as const)('platform %d mm deep: %s', (belowMarginMm, verdict, text) => {
    const found = way('cemented', { emergence: { belowMarginMm } })
    expect(found.verdict).toBe(verdict)
    expect(found.texts[0]).toBe(text)
  })

  test('the axis has no say in it, the height has', () => {
    const facial = { exit: { class: 'facial' as const, offsetMm: 5 }, channel: { wall: wallOf(-1) } }
    expect(way('cemented', facial).verdict).toBe('open')
    expect(way('cemented', { emergence: { crownHeightMm: 7 } }).verdict).toBe('open')
    expect(way('cemented', { emergence: { crownHeightMm: 6.9 } }).verdict).toBe('closed')
  })
})

describe('for and against', () => {
  const words = (statements: readonly { readonly text: string }[]): number =>
    statements.reduce((sum, { text }) => sum + text.split(/\s+/).length, 0)

  test.each(Object.entries(RETENTION_STATEMENTS))(
    '%s: both sides in the same number of words',
    (_, sides) => {
      expect(words(sides.for)).toBe(words(sides.against))
      expect(sides.for).toHaveLength(sides.against.length)
    },
  )

  test('every statement names its source, and none recommends', () => {
    for (const sides of Object.values(RETENTION_STATEMENTS))
      for (const { text, source } of [...sides.for, ...sides.against]) {
        expect(source).toMatch(/\d{4}|AD1186363|common practice/)
        expect(text).not.toMatch(/should|recommend|prefer|better|best|\bsafe/i)
        expect(text.length).toBeLessThan(100)
      }
  })

  test('removal torque as published lies 11, 8 and 14 % under 35 Ncm', () => {
    const text = RETENTION_STATEMENTS['screw-angled'].for.map((s) => s.text).join(' ')
    const torques = [...text.matchAll(/(\d\d\.\d\d)/g)].map(([n]) => Number(n))
    expect(torques.map((n) => Math.round(100 * (1 - n / 35)))).toEqual([11, 8, 14])
  })

  test('they are the same wherever the crown stands', () => {
    expect(way('cemented').for).toBe(way('cemented', { emergence: { crownHeightMm: 2 } }).for)
  })
})
