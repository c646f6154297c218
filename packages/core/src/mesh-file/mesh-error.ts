/** A mesh file that cannot be used: its name, the place in it and what is wrong there, what to do. */
export class MeshError extends Error {
  override readonly name = 'MeshError'
  readonly fileName: string

  constructor(fileName: string, problem: string) {
    super(`${fileName}: ${problem}`)
    this.fileName = fileName
  }
}
