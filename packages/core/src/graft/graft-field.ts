import { deficitField } from './deficit-field.js'
import { freeField } from './free-field.js'
import type { GraftQuestion } from './graft-question.js'
import type { GraftField } from './graft-result.js'

/**
 * Where a graft lies and how far it reaches, over rays perpendicular to the fixture's axis; null where there is nothing to
 * graft. It never enters the fixture, bone, or a tooth that is known (masked, or flagged on its ray), and lies on no ray
 * that data ends on. Between the margin's rays bone is taken as flat, between its depths as straight.
 *
 * Bone farther out that faces the fixture across a gap limits the graft: the gap is filled up to it, nothing is laid onto
 * its far side. As sure as the margin (docs/accuracy.md); reach 10 mm from the axis.
 */
export const graftField = (question: GraftQuestion): GraftField | null =>
  question.spec.kind === 'deficit'
    ? deficitField(question, question.spec)
    : freeField(question, question.spec)
