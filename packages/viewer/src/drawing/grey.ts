/** The grey levels shown as black and as white. */
export interface GreyWindow {
  readonly low: number
  readonly high: number
}

/** An image of a plane as the engine sends it: grey values row by row, NaN outside the scan. */
export interface GreyImage {
  readonly pixels: Float32Array
  readonly width: number
  readonly height: number
}

/** Between paper and bone: what lies outside the scan, in both sheets. */
const outside = 0x60

/** Draws an image on a canvas, which takes its size from it. */
export function paintGrey(canvas: HTMLCanvasElement, image: GreyImage, window: GreyWindow): void {
  if (canvas.width !== image.width) canvas.width = image.width
  if (canvas.height !== image.height) canvas.height = image.height
  const context = canvas.getContext('2d')
  if (context === null) return
  const picture = context.createImageData(image.width, image.height)
  const words = new Uint32Array(picture.data.buffer)
  const factor = 255 / Math.max(1e-6, window.high - window.low)
  for (let n = 0; n < words.length; n++) {
    const value = image.pixels[n] as number
    let level = (value - window.low) * factor
    if (Number.isNaN(value))
      level = ((n % image.width) + Math.floor(n / image.width)) % 9 === 0 ? outside + 24 : outside
    else if (level < 0) level = 0
    else if (level > 255) level = 255
    const g = level | 0
    words[n] = 0xff000000 | (g << 16) | (g << 8) | g
  }
  context.putImageData(picture, 0, 0)
}
