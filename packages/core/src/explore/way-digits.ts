/** Less is noise of the arithmetic and rounds nothing up or down. */
export const EXACT = 1e-6

/** A length rounded down to what is printed: "0.31 mm". */
export const floorMm = (value: number): string => `${down(value).toFixed(2)} mm`

/** An angle rounded up: "12.4 deg". */
export const ceilDeg = (value: number): string => `${(Math.ceil(10 * value - EXACT) / 10).toFixed(1)} deg`

/** How much a length is short of a limit: of what is printed of both. */
export const shortMm = (value: number, limit: number): string => `${(limit - down(value)).toFixed(2)} mm`

const down = (value: number): number => Math.floor(100 * value + EXACT) / 100
