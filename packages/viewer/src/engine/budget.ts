const GIB = 2 ** 30

/**
 * The most bytes a volume may take on the page. Calibration keeps about three times the volume beside it, and the
 * browser and the rest of the device want their share too: a quarter of the device's memory, where the browser tells
 * it (Device Memory, W3C, whole powers of two; most browsers tell nothing beyond 8), and never more than 2 GB, which
 * is also what is taken where it does not tell.
 */
export const volumeBudgetBytes = (device: Device = navigator as Device): number =>
  Math.min(2 * GIB, ((device.deviceMemory ?? 8) * GIB) / 4)

interface Device {
  /** GB; not in every browser. */
  readonly deviceMemory?: number | undefined
}
