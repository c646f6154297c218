import { PIPELINES, type ReaderImage, type VolumeFileReader } from './reader.js'

export interface BrowserReaderOptions {
  /**
   * Absolute address of the folder that serves the `.js` and `.wasm.zst` of `nrrd-read-image`, `nifti-read-image` and
   * `meta-read-image` from `@itk-wasm/image-io/dist/pipelines`. Never a foreign server.
   */
  readonly assetsBaseUrl: string
}

/**
 * Decodes volume files with itk-wasm in the calling thread: call it from a worker.
 * The code is fetched when the first of a kind is met.
 */
export const browserVolumeFileReader = ({ assetsBaseUrl }: BrowserReaderOptions): VolumeFileReader => ({
  read: async (kind, file, signal) => {
    const { InterfaceTypes, runPipeline } = await import('itk-wasm')
    signal?.throwIfAborted()
    const { outputs } = await runPipeline(
      PIPELINES[kind],
      [file.path, '0', '1', '--memory-io'],
      [{ type: InterfaceTypes.JsonCompatible }, { type: InterfaceTypes.Image }],
      [{ type: InterfaceTypes.BinaryFile, data: file }],
      { pipelineBaseUrl: assetsBaseUrl.replace(/\/$/, ''), webWorker: false },
    )
    const image = outputs[1]?.data as ReaderImage | undefined
    if (!image) throw new RangeError('the decoder returned no image')
    return image
  },
})
