import type { Rgb } from './vtk-body.js'
import type { SceneColours } from './vtk-view.js'

/** The classes of the probe spans: their computed `color` is what the scene paints with. */
export const COLOUR_PROBES = [
  'paper',
  'bone',
  'section',
  'ink',
  'hand',
  'crown',
  'channel',
  'graft',
  'graft-kept',
] as const

/** The colours the style sheet gives, whatever notation they are written in. */
export function readColours(root: ShadowRoot): SceneColours {
  const pixel = document.createElement('canvas')
  pixel.width = 1
  pixel.height = 1
  const context = pixel.getContext('2d', { willReadFrequently: true })
  const read = (name: (typeof COLOUR_PROBES)[number]): Rgb => {
    const probe = root.querySelector(`.probe.${name}`)
    if (context === null || probe === null) return [0.5, 0.5, 0.5]
    context.fillStyle = getComputedStyle(probe).color
    context.fillRect(0, 0, 1, 1)
    const [r = 0, g = 0, b = 0] = context.getImageData(0, 0, 1, 1).data
    return [r / 255, g / 255, b / 255]
  }
  return {
    ...{ paper: read('paper'), bone: read('bone'), section: read('section'), ink: read('ink') },
    ...{ hand: read('hand'), crown: read('crown'), channel: read('channel') },
    ...{ graft: read('graft'), graftKept: read('graft-kept') },
  }
}
