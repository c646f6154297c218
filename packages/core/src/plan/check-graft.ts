import { finite, type Json, record, shown, vector } from './fields.js'
import { PlanError } from './plan-error.js'

/** Least and greatest value, its unit, and what to do about another. Own choice, wide enough for every use known. */
interface Range {
  readonly from: number
  readonly to: number
  readonly unit: string
  readonly remedy: string
}

const lengthMm = (from: number, to: number, remedy: string): Range => ({ from, to, unit: ' mm', remedy })

const DEFICIT: Readonly<Record<string, Range>> = {
  facialMm: lengthMm(0.5, 6, 'the bone wanted over the fixture facially is usually 1.5 to 2 mm'),
  otherMm: lengthMm(0, 6, 'the bone wanted on the other sides is usually 1 to 1.5 mm, 0 for none'),
  fromDepthMm: lengthMm(-5, 20, 'the depth below the platform that it reaches up to, 0 for the platform'),
}

const FREE: Readonly<Record<string, Range>> = {
  thicknessMm: lengthMm(0.1, 10, 'across the surface; published gains are 3 to 5 mm'),
  heightMm: lengthMm(0.5, 20, 'along the tooth'),
  widthMm: lengthMm(0.5, 30, 'mesiodistally'),
}

const SHARE: Range = { from: 0, to: 0.6, unit: '', remedy: 'a share of the thickness, 0.12 for 12 %' }
const LOSS_MM = lengthMm(0, 3, 'what resorbs of the thickness, usually 0.5 to 1 mm')

/** The graft of a plan. */
export function checkGraft(graft: Json): void {
  if (graft.kind === 'deficit') {
    ranges(graft, DEFICIT)
    yesOrNo(graft, 'natural')
    yesOrNo(graft, 'overbuilt')
  } else if (graft.kind === 'free') {
    vector(graft.at, 'graft.at')
    ranges(graft, FREE)
  } else throw new PlanError('graft.kind', `must be "deficit" or "free", got ${shown(graft.kind)}`)
  checkLoss(record(graft.loss, 'graft.loss'))
}

function checkLoss(loss: Json): void {
  if (loss.kind === 'share') within(loss.share, 'graft.loss.share', SHARE)
  else if (loss.kind === 'mm') within(loss.mm, 'graft.loss.mm', LOSS_MM)
  else throw new PlanError('graft.loss.kind', `must be "share" or "mm", got ${shown(loss.kind)}`)
}

function ranges(graft: Json, table: Readonly<Record<string, Range>>): void {
  for (const [name, range] of Object.entries(table)) within(graft[name], `graft.${name}`, range)
}

function within(value: unknown, path: string, { from, to, unit, remedy }: Range): void {
  const number = finite(value, path)
  if (number < from || number > to)
    throw new PlanError(path, `must be ${from} to ${to}${unit}, got ${number}: ${remedy}`)
}

function yesOrNo(graft: Json, name: string): void {
  if (typeof graft[name] !== 'boolean')
    throw new PlanError(`graft.${name}`, `must be true or false, got ${shown(graft[name])}`)
}
