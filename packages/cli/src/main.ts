export async function run(_args: readonly string[]): Promise<number> {
  return 2
}
