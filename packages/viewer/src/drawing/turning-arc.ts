import type { Pixel } from './view.js'

/** A piece of the circle that the turning handle goes on, pixels to either side of it. */
export function turningArc([cx, cy]: Pixel, [x, y]: Pixel): string {
  const radius = Math.hypot(x - cx, y - cy)
  const middle = Math.atan2(y - cy, x - cx)
  const half = Math.min(0.6, 24 / Math.max(1, radius))
  const on = (angle: number): string =>
    `${(cx + radius * Math.cos(angle)).toFixed(1)},${(cy + radius * Math.sin(angle)).toFixed(1)}`
  const r = radius.toFixed(1)
  return `M${on(middle - half)}A${r},${r} 0 0 1 ${on(middle + half)}`
}
