import { accessChannel, accessExit, angledChannel, type Crown, emergence } from '@alveometer/core'
import { describe, expect, test } from 'vitest'
import { aimed } from '../../packages/core/test/channel-aim.js'
import { place, probeOf, strewnAims, wrongBend } from '../../packages/core/test/probe-poses.js'
import { seeded } from '../../packages/core/test/random-meshes.js'
import { describeWithData } from '../shared-data.js'
import { SCANNED_TEETH, scannedCrowns } from './scanned-crowns.js'

describeWithData('scanned crowns from many fixtures', 'tooth-crowns-obj', (folder) => {
  const crowns = scannedCrowns(folder)
  const crownOf = (tooth: string): Crown => {
    const crown = crowns.get(tooth)
    if (!crown) throw new Error(`no crown ${tooth}`)
    return crown
  }

  describe.each(SCANNED_TEETH)('%s', (tooth) => {
    const crown = crownOf(tooth)
    const aims = strewnAims(Number(tooth), 100)
    const probe = probeOf(crown)

    test('as the library tells of one fixture', () => {
      for (const [n, aim] of aims.entries()) {
        const question = aimed(crown, aim)
        const [platform, apical] = place(crown, aim)
        const exit = accessExit(question)
        expect(probe.exit(platform, apical)).toMatchObject({ class: exit.class, offsetMm: exit.offsetMm })
        const under = emergence({ ...question, fixture: { platform, apical, radiusMm: 2 } })
        const steepest = Math.max(...under.profile.map((side) => side.emergenceDeg))
        expect(probe.platform(platform, apical, 2).steepestDeg).toBeCloseTo(steepest, 9)
        if (n >= 25) continue
        const { wall, closedShare } = accessChannel(question)
        expect(probe.wall(platform, apical)).toEqual({ leastMm: wall?.mm ?? null, closedShare })
        if (n >= 5) continue
        const bent = angledChannel(question)
        expect(probe.correctionDeg(platform, apical)).toBe(bent.least?.correctionDeg ?? null)
        expect(probe.correctionWithWallDeg(platform, apical)).toBe(bent.leastWithWall?.correctionDeg ?? null)
      }
    })

    test('the least bend is met, and no lesser one', () => {
      const next = seeded(Number(tooth))
      const wrong = aims.slice(0, 25).map((aim) => wrongBend(crown, aim, next, 250))
      expect(wrong.filter((words) => words !== null)).toEqual([])
    })
  })
})
