import type { ChartAxis, TiltChartSpec } from '@alveometer/core'

type Kind = TiltChartSpec['kind']

export const kindNames: Readonly<Record<Kind, string>> = {
  tilt: 'mesial tilt',
  depth: 'depth',
  shift: 'facial shift',
}

export const pivotNames: Readonly<Record<TiltChartSpec['pivot'], string>> = {
  platform: 'platform',
  crest: 'crest',
  apex: 'apex',
}

/** How far rows go when a kind is chosen: what a plan is moved by at most, own choice. */
const rowsOf: Readonly<Record<Kind, ChartAxis>> = {
  tilt: { from: -15, to: 15, count: 31 },
  depth: { from: -3, to: 3, count: 31 },
  shift: { from: -3, to: 3, count: 31 },
}

export const withKind = (spec: TiltChartSpec, kind: Kind): TiltChartSpec =>
  kind === spec.kind ? spec : { ...spec, kind, rows: rowsOf[kind] }
