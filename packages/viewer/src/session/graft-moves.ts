import {
  along,
  type DeficitGraft,
  type FreeGraft,
  type GraftLoss,
  type GraftSpec,
  normalize,
  type Plan,
  perpendicularTo,
  scale,
  type Vec3,
} from '@alveometer/core'
import { diameterOf } from './moves.js'

/** Between what the numbers of a graft may be typed and dragged; own choice, within what a plan file may hold. */
export const graftRanges = {
  facialMm: [0.5, 6],
  otherMm: [0, 6],
  fromDepthMm: [-3, 10],
  thicknessMm: [0.5, 6],
  heightMm: [1, 20],
  widthMm: [1, 20],
  share: [0, 0.6],
  lossMm: [0, 3],
} as const

/** Mean loss of guided bone regeneration until a fixture was placed: 12.48 +- 2.67 % (Gultekin 2016, BioMed Res Int). */
const usualLoss: GraftLoss = { kind: 'share', share: 0.125 }
/** Blocks after a year: 0.60 to 0.80 mm (PMC4728796, 2016). */
const usualLossMm = 0.7
/** A layer to start from and then to drag; own choice. */
const layer = { thicknessMm: 2, heightMm: 8, widthMm: 8 } as const

/** The plan with another graft, or with none. */
export function withGraft({ graft: _, ...plain }: Plan, graft: GraftSpec | null): Plan {
  return graft === null ? plain : { ...plain, graft: within(graft) }
}

/** A layer on the facial side whose coronal end is as high as the platform. */
export function defaultFreeGraft(plan: Plan): FreeGraft {
  const { fixture, site } = plan
  const apical = scale(normalize(site.coronal), -1)
  const middle = along(fixture.platform, apical, layer.heightMm / 2)
  const facial = perpendicularTo(site.facial, normalize(fixture.apical))
  return {
    kind: 'free',
    at: along(middle, facial, diameterOf(fixture.shape) / 2),
    ...layer,
    loss: usualLoss,
  }
}

/** The plan with its graft changed, each size kept within its range; nothing where there is no graft of that kind. */
export function setDeficitGraft(plan: Plan, change: Partial<Omit<DeficitGraft, 'kind'>>): Plan {
  return plan.graft?.kind === 'deficit' ? withGraft(plan, { ...plan.graft, ...change }) : plan
}

export function setFreeGraft(plan: Plan, change: Partial<Omit<FreeGraft, 'kind'>>): Plan {
  return plan.graft?.kind === 'free' ? withGraft(plan, { ...plan.graft, ...change }) : plan
}

/** The plan with another expected loss of its graft. */
export const setGraftLoss = (plan: Plan, loss: GraftLoss): Plan =>
  plan.graft === undefined ? plan : withGraft(plan, { ...plan.graft, loss })

/** The same kind of loss to start from: a share, or millimetres. */
export const defaultLoss = (kind: GraftLoss['kind']): GraftLoss =>
  kind === 'share' ? usualLoss : { kind, mm: usualLossMm }

/** The plan with its free graft shifted by a vector in LPS mm. */
export const moveGraft = (plan: Plan, deltaMm: Vec3): Plan =>
  plan.graft?.kind === 'free' ? setFreeGraft(plan, { at: along(plan.graft.at, deltaMm, 1) }) : plan

function within(graft: GraftSpec): GraftSpec {
  const loss = lossWithin(graft.loss)
  if (graft.kind === 'deficit')
    return {
      ...graft,
      facialMm: clamped(graft.facialMm, 'facialMm'),
      otherMm: clamped(graft.otherMm, 'otherMm'),
      fromDepthMm: clamped(graft.fromDepthMm, 'fromDepthMm'),
      loss,
    }
  return {
    ...graft,
    at: [finite(graft.at[0]), finite(graft.at[1]), finite(graft.at[2])],
    thicknessMm: clamped(graft.thicknessMm, 'thicknessMm'),
    heightMm: clamped(graft.heightMm, 'heightMm'),
    widthMm: clamped(graft.widthMm, 'widthMm'),
    loss,
  }
}

const lossWithin = (loss: GraftLoss): GraftLoss =>
  loss.kind === 'share'
    ? { ...loss, share: clamped(loss.share, 'share') }
    : { ...loss, mm: clamped(loss.mm, 'lossMm') }

function clamped(value: number, what: keyof typeof graftRanges): number {
  const [low, high] = graftRanges[what]
  return Math.max(low, Math.min(high, finite(value)))
}

function finite(value: number): number {
  if (!Number.isFinite(value)) throw new RangeError(`a graft's place and sizes must be numbers, got ${value}`)
  return value
}
