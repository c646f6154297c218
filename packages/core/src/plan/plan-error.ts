/** A plan that cannot be used: where in the document, and why. */
export class PlanError extends Error {
  override readonly name = 'PlanError'
  /** Place in the document, such as `fixture.shape.diameterMm`. */
  readonly path: string

  constructor(path: string, problem: string) {
    super(`plan: ${path === '' ? problem : `${path} ${problem}`}`)
    this.path = path
  }
}
