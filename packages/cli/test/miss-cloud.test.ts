import { describe, expect, test } from 'vitest'
import type { CommandLine } from '../src/command-line.js'
import { missCloudCommand } from '../src/miss-cloud.js'

const line = (options: CommandLine['options']): CommandLine => ({
  command: 'miss-cloud',
  paths: [],
  options: { plan: 'no-such-plan.json', scan: 'no-such-scan', ...options },
})

describe('miss-cloud: a wrong command line is told before anything is opened', () => {
  test.each([
    [{ plan: undefined }, 'miss-cloud needs --plan'],
    [{ error: 'perfect' }, '--error perfect is unknown: use guided, freehand or own'],
    [{ way: 'bent' }, '--way bent is unknown: use straight, straight-graft, angled or cemented'],
    [{ error: 'own', entry: '1' }, '--error own needs --entry'],
    [{ error: 'guided', entry: '1', angle: '2' }, '--error guided has its own figures'],
    [{ entry: 'one', angle: '2' }, '--entry one is no number'],
    [{ entry: '1', angle: '-2' }, 'tiltSdDeg'],
    [{ draws: '' }, '--draws  is no number'],
  ])('%j', async (options, message) => {
    await expect(missCloudCommand(line(options))).rejects.toThrow(message)
  })

  test('a right one goes on to open the plan', async () => {
    for (const options of [
      {},
      { error: 'freehand' },
      { entry: '0.8', angle: '3' },
      { way: 'cemented', seed: '7' },
    ])
      await expect(missCloudCommand(line(options))).rejects.toThrow('no-such-plan.json')
  })
})
