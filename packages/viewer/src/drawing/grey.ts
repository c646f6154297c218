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
  const { pixels, width } = image
  const { low } = window
  const count = words.length
  for (let n = 0; n < count; n++) {
    let level = ((pixels[n] as number) - low) * factor
    if (level < 0) level = 0
    else if (level > 255) level = 255
    else if (Number.isNaN(level))
      level = ((n % width) + Math.floor(n / width)) % 9 === 0 ? outside + 24 : outside
    words[n] = 0xff000000 | ((level | 0) * 0x010101)
  }
  context.putImageData(picture, 0, 0)
}
