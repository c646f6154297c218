import type { SurfaceGrid } from '../fixture/index.js'

/** Rows are depths, columns angles; null where there is no number. */
export type MapRows<T> = readonly (readonly T[])[]

/** A map as rows of cells: depths down, angles across. */
export const mapRows = <T>(
  { grid: { depthsMm, anglesDeg } }: { readonly grid: Pick<SurfaceGrid, 'depthsMm' | 'anglesDeg'> },
  cell: (n: number) => T,
): MapRows<T> =>
  depthsMm.map((_, row) => anglesDeg.map((_angle, column) => cell(row * anglesDeg.length + column)))

/** Numbers as rows; NaN becomes null. */
export const numberRows = (
  values: Float64Array,
  map: { readonly grid: Pick<SurfaceGrid, 'depthsMm' | 'anglesDeg'> },
): MapRows<number | null> => mapRows(map, (n) => (Number.isNaN(values[n]) ? null : values[n]))
