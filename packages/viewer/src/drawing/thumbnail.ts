import type { Thumbnail } from '@alveometer/scan'

/** Draws a small picture on a canvas, which takes its size from it. */
export function paintThumbnail(canvas: HTMLCanvasElement, thumbnail: Thumbnail | undefined): void {
  if (thumbnail === undefined) return
  const { width, height, pixels } = thumbnail
  canvas.width = width
  canvas.height = height
  const context = canvas.getContext('2d')
  if (context === null) return
  const picture = context.createImageData(width, height)
  const words = new Uint32Array(picture.data.buffer)
  for (let n = 0; n < words.length; n++) words[n] = 0xff000000 | ((pixels[n] ?? 0) * 0x010101)
  context.putImageData(picture, 0, 0)
}
