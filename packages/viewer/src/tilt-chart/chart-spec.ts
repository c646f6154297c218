import { chartSpec, type TiltChartSpec } from '@alveometer/core'

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

export const withKind = (spec: TiltChartSpec, kind: Kind): TiltChartSpec =>
  kind === spec.kind ? spec : chartSpec(kind, spec.pivot, { columns: spec.columns })
