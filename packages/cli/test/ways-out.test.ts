import { fixtureProfile } from '@alveometer/core'
import { describe, expect, test } from 'vitest'
import type { CommandLine } from '../src/command-line.js'
import { shapesInSizes, waysOutCommand } from '../src/ways-out.js'

const line = (options: CommandLine['options']): CommandLine => ({
  command: 'ways-out',
  paths: [],
  options: { plan: 'no-such-plan.json', scan: 'no-such-scan', ...options },
})

describe('ways-out: a wrong command line is told before anything is opened', () => {
  test.each([
    [{ plan: undefined }, 'ways-out needs --plan'],
    [{ diameters: '3.5,wide' }, '--diameters'],
    [{ lengths: '' }, '--lengths'],
    [{ 'in-hand': 'some' }, '--in-hand some is no number'],
  ])('%j', async (options, message) => {
    await expect(waysOutCommand(line(options))).rejects.toThrow(message)
  })

  test('a right one goes on to open the plan', async () => {
    for (const options of [{}, { diameters: '3.5,4', lengths: '9,11' }, { 'in-hand': '0' }])
      await expect(waysOutCommand(line(options))).rejects.toThrow('no-such-plan.json')
  })
})

describe('sizes', () => {
  const sizes = (shapes: ReturnType<typeof shapesInSizes>) =>
    shapes.map((shape) => {
      const { greatestRadiusMm, lengthMm } = fixtureProfile(shape)
      return [2 * greatestRadiusMm, lengthMm]
    })
  const tapered = { kind: 'tapered', diameterMm: 4, apexDiameterMm: 3, lengthMm: 11 } as const

  test("every diameter with every length; one's own where none is given", () => {
    expect(sizes(shapesInSizes(tapered, [3.5, 4], [9, 11]))).toEqual([
      [3.5, 9],
      [3.5, 11],
      [4, 9],
      [4, 11],
    ])
    expect(shapesInSizes(tapered, undefined, undefined)).toEqual([tapered])
    expect(sizes(shapesInSizes({ kind: 'cylinder', diameterMm: 4, lengthMm: 10 }, undefined, [8]))).toEqual([
      [4, 8],
    ])
  })

  test('taper and outline are stretched along', () => {
    expect(shapesInSizes(tapered, [5], undefined)).toEqual([
      { ...tapered, diameterMm: 5, apexDiameterMm: 3.75 },
    ])
    const outline = {
      kind: 'profile',
      points: [
        [0, 1.5],
        [2, 2],
        [10, 1],
      ],
    } as const
    expect(shapesInSizes(outline, [5], [20])).toEqual([
      {
        kind: 'profile',
        points: [
          [0, 1.875],
          [4, 2.5],
          [20, 1.25],
        ],
      },
    ])
  })

  test('a size that is none is refused', () => {
    expect(() => shapesInSizes(tapered, [-1], undefined)).toThrow('must be a positive number of mm, got -1')
    expect(() => shapesInSizes(tapered, undefined, [0])).toThrow('got 0')
  })
})
