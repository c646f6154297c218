import type { Engine } from '../engine/engine.js'
import type { GreyPick } from '../grey-calibration/index.js'
import type { Goal } from './pointing.js'

/** A disc so wide averages over noise and stays within a small insert, mm. */
const discMm = 1

/** A grey value is asked for: read from the voxels where it is pointed at. */
export const greyGoal = (engine: Engine, found: (pick: GreyPick) => void): Goal => ({
  key: 'grey',
  words: 'Point at the grey value (1\u202fmm disc)',
  take: async (place) => {
    const read = await engine.probe({ ...place, diameterMm: discMm })
    if (read === null) return 'No data there: point elsewhere'
    found({ grey: read.mean, greySd: read.sd })
    return null
  },
})
