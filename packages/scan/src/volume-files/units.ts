/** Millimetres in a unit of length, by the ways people write it; the inch is 25.4 mm (ISO 31-1). */
const MILLIMETRES: Readonly<Record<string, number>> = {
  mm: 1,
  millimeter: 1,
  millimetre: 1,
  um: 0.001,
  µm: 0.001,
  μm: 0.001,
  micron: 0.001,
  micrometer: 0.001,
  micrometre: 0.001,
  cm: 10,
  centimeter: 10,
  centimetre: 10,
  m: 1000,
  meter: 1000,
  metre: 1000,
  in: 25.4,
  inch: 25.4,
  inche: 25.4,
}

/** Millimetres in one of the named unit; null when none is named; NaN when it is no unit of length we know. */
export function millimetresIn(unit: string | undefined): number | null {
  const name = (unit ?? '').trim().toLowerCase()
  if (name === '' || name === '?' || name === '???') return null
  return MILLIMETRES[name] ?? MILLIMETRES[name.replace(/s$/, '')] ?? Number.NaN
}
