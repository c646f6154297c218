/** Runs `work` over all items, a few at a time, results in the order of the items. Stops at the first error. */
export async function inParallel<T, R>(
  items: readonly T[],
  atOnce: number,
  work: (item: T, index: number) => Promise<R>,
): Promise<R[]> {
  const results = new Array<R>(items.length)
  let next = 0
  let failed = false
  const runner = async () => {
    while (next < items.length && !failed) {
      const index = next++
      try {
        results[index] = await work(items[index] as T, index)
      } catch (error) {
        failed = true
        throw error
      }
    }
  }
  await Promise.all(Array.from({ length: Math.min(atOnce, items.length) }, runner))
  return results
}
