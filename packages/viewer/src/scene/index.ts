import { AlvScene } from './alv-scene.js'

export type { AlvScene }

/** Registers <alv-scene> once; where the tag is taken already, nothing happens. */
export function defineScene(): void {
  if (customElements.get('alv-scene') === undefined) customElements.define('alv-scene', AlvScene)
}
