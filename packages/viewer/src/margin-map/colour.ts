export type Rgb = readonly [number, number, number]

/**
 * A perceptually even scale that people with any of the common colour-vision deficiencies read alike: dark blue to
 * yellow (cividis; Nunez, Anderton and Renslow 2018, PLoS ONE 13:e0199239), as fifth-degree polynomials. t from 0 to 1.
 */
export function ramp(t: number): Rgb {
  const x = Math.min(1, Math.max(0, t))
  const channel = (...k: readonly number[]): number => {
    const value = k.reduceRight((sum, c) => sum * x + c, 0)
    return Math.round(Math.min(255, Math.max(0, value)))
  }
  return [
    channel(-4.54, -35.34, 2381.73, -6402.7, 7024.72, -2710.57),
    channel(32.49, 170.73, 52.82, -131.46, 176.58, -67.37),
    channel(81.24, 442.36, -2482.43, 6167.24, -6614.94, 2475.67),
  ]
}
