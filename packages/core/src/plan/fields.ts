import { length, type Vec3 } from '../space/index.js'
import { PlanError } from './plan-error.js'

// The readers of single values: each returns what it checked and names its place when it is wrong.

export type Json = Record<string, unknown>

export function record(value: unknown, path: string): Json {
  if (typeof value !== 'object' || value === null || Array.isArray(value))
    throw new PlanError(path, `must be an object, got ${shown(value)}`)
  return value as Json
}

export function string(value: unknown, path: string): string {
  if (typeof value !== 'string') throw new PlanError(path, `must be text, got ${shown(value)}`)
  return value
}

export function finite(value: unknown, path: string): number {
  if (typeof value !== 'number' || !Number.isFinite(value))
    throw new PlanError(path, `must be a number, got ${shown(value)}`)
  return value
}

export function positive(value: unknown, path: string): number {
  const number = finite(value, path)
  if (number <= 0) throw new PlanError(path, `must be more than 0 mm, got ${number}`)
  return number
}

export function vector(value: unknown, path: string): Vec3 {
  if (!Array.isArray(value) || value.length !== 3)
    throw new PlanError(path, `must be three numbers, got ${shown(value)}`)
  return value.map((v, n) => finite(v, `${path}[${n}]`)) as unknown as Vec3
}

export function direction(value: unknown, path: string): Vec3 {
  const v = vector(value, path)
  if (Math.abs(length(v) - 1) > 0.01)
    throw new PlanError(path, `must have length 1, has ${length(v).toFixed(3)}`)
  return v
}

export const shown = (value: unknown): string => {
  const text = JSON.stringify(value) ?? String(value)
  return text.length > 60 ? `${text.slice(0, 57)}...` : text
}
