import { CAUTIONS } from '../assess/index.js'

/** Where nothing is known of what lies beside the ridge, nothing keeps a fixture away from it. */
const NEIGHBOURS =
  'Neighbouring roots, fixtures, the nerve canal and the sinus are not known here, and roots count as bone: a placement may run into them.'

/** @param clearanceMm of the plan, null where nothing is known that it must keep clear of. */
export const explorerCautions = (clearanceMm: number | null): readonly string[] =>
  clearanceMm === null ? [NEIGHBOURS, ...CAUTIONS] : CAUTIONS
