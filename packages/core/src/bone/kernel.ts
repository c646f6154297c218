/** Gaussian weights at whole sample steps -radius..radius, cut at three sigma and normalised to sum 1. */
export function gaussianKernel(sigmaSteps: number): { weights: Float64Array; radius: number } {
  const radius = Math.max(1, Math.ceil(3 * sigmaSteps))
  const weights = Float64Array.from({ length: 2 * radius + 1 }, (_, n) =>
    Math.exp(-0.5 * ((n - radius) / sigmaSteps) ** 2),
  )
  const sum = weights.reduce((a, b) => a + b, 0)
  return { weights: weights.map((w) => w / sum), radius }
}
