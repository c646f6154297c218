export type Tag = keyof HTMLElementTagNameMap & `alv-${string}`

/** An element of ours on the page, of a size that holds whatever its own style says, drawn once. */
export async function mountedAt<T extends Tag>(
  size: readonly [width: number, height: number],
  tag: T,
  set: Partial<HTMLElementTagNameMap[T]>,
): Promise<HTMLElementTagNameMap[T]> {
  const element = document.createElement(tag)
  Object.assign(element, set)
  element.setAttribute('class', 'under-test')
  const sheet = new CSSStyleSheet()
  sheet.replaceSync(`.under-test { width: ${size[0]}px; height: ${size[1]}px }`)
  document.adoptedStyleSheets = [sheet]
  document.body.append(element)
  await settled()
  return element
}

/** A few frames: what an element changes it draws in the next. */
export async function settled(): Promise<void> {
  for (let n = 0; n < 6; n++) await new Promise((done) => requestAnimationFrame(done))
}
