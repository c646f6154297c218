import { describe, expect, test } from 'vitest'
import { resolveLimits } from '../src/assess/limits.js'
import { CHANNEL_LIMITS } from '../src/crown/channel-question.js'
import { limitsFor } from '../src/index.js'

describe('limitsFor(tooth)', () => {
  test.each(['11', '24', '36', '43'])(
    '%s: every one has a meaning, a source and a plausible default',
    (tooth) => {
      const limits = limitsFor(tooth)
      expect(new Set(limits.map(({ code }) => code)).size).toBe(limits.length)
      for (const { code, value, unit, plausible, meaning, source } of limits) {
        expect(code.endsWith(unit === 'mm' ? 'Mm' : 'Deg')).toBe(true)
        expect(meaning.length).toBeGreaterThan(5)
        expect(source).toMatch(/\d{4}|common practice|from memory/)
        expect(value).toBeGreaterThanOrEqual(plausible[0])
        expect(value).toBeLessThanOrEqual(plausible[1])
      }
    },
  )

  test('the channel alone has the same defaults as a plan', () => {
    const limits = resolveLimits('11', {})
    for (const [code, value] of Object.entries(CHANNEL_LIMITS)) expect(limits(code).value).toBe(value)
  })

  test('published figures: channel, crown height, cement line, emergence', () => {
    const limits = resolveLimits('11', {})
    for (const [code, value, source] of [
      ['channelDiameterMm', 2.3, 'Open Dent J 2023'],
      ['crownHeightScrewMm', 4, 'Carpentieri'],
      ['crownHeightAngledMm', 7.5, 'Carpentieri'],
      ['crownHeightCementMm', 7, 'Carpentieri'],
      ['cementMarginDepthMm', 2, 'Hayashi 2008'],
      ['emergenceDeg', 30, 'Katafuchi 2018'],
      ['platformDepthLeastMm', 3, 'Buser'],
      ['leastWallMm', 0.8, 'from memory'],
    ] as const) {
      expect(limits(code).value).toBe(value)
      expect(limits(code).source).toContain(source)
    }
  })
})

describe('resolveLimits(tooth, overrides)', () => {
  test.each([
    ['channelDiameterMm', 0.9, '1 and 5 mm'],
    ['channelDiameterMm', 5.1, '1 and 5 mm'],
    ['leastWallMm', -0.1, '0 and 5 mm'],
    ['emergenceDeg', 91, '0 and 90 deg'],
    ['marginMm', -1, '0 and 10 mm'],
    ['bendPivotMm', Number.NaN, '0 and 10 mm'],
  ])('%s of %d is refused by name', (code, value, range) => {
    expect(() => resolveLimits('11', { [code]: value })).toThrow(RangeError)
    expect(() => resolveLimits('11', { [code]: value })).toThrow(
      `plan: limits.${code} must be between ${range}, got ${value}`,
    )
  })

  test('the ends of the range are taken, and the source tells of the default', () => {
    const limits = resolveLimits('11', { channelDiameterMm: 5, leastWallMm: 0 })
    expect(limits('channelDiameterMm').value).toBe(5)
    expect(limits('leastWallMm')).toMatchObject({
      value: 0,
      source: expect.stringMatching(/^set in the plan \(default 0\.8 mm: /),
    })
  })
})
