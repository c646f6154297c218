let running = 0
const log = console.log

/** itk-wasm reports its failures with console.log. On a command line that is where the answer goes. */
export async function withoutStdout<T>(work: () => Promise<T>): Promise<T> {
  running++
  console.log = console.error
  try {
    return await work()
  } finally {
    running--
    if (running === 0) console.log = log
  }
}
