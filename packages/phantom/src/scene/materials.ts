/** Grey values before noise, in the scale of a cone-beam reconstruction: not Hounsfield units. */
export interface Greys {
  readonly air: number
  readonly soft: number
  readonly fat: number
  readonly cortex: number
  readonly trabecula: number
  readonly marrowSpace: number
  readonly dentine: number
  readonly enamel: number
  readonly pulp: number
}

export const greys: Greys = {
  air: -985,
  soft: 75,
  fat: -130,
  cortex: 2020,
  trabecula: 1900,
  marrowSpace: -40,
  dentine: 2450,
  enamel: 4450,
  pulp: 90,
}
