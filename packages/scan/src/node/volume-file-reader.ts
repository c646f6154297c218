import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { PIPELINES, type ReaderImage, type VolumeFileReader } from '../volume-files/index.js'
import { withoutStdout } from './without-stdout.js'

/** Decodes volume files with itk-wasm. Its code is loaded when the first file is met. */
export const nodeVolumeFileReader = (): VolumeFileReader => ({
  read: async (kind, file, signal) => {
    const { InterfaceTypes, runPipelineNode } = await import('itk-wasm')
    signal?.throwIfAborted()
    const entry = createRequire(import.meta.url).resolve('@itk-wasm/image-io')
    const { outputs } = await withoutStdout(() =>
      runPipelineNode(
        join(dirname(entry), 'pipelines', PIPELINES[kind]),
        [file.path, '0', '1', '--memory-io'],
        [{ type: InterfaceTypes.JsonCompatible }, { type: InterfaceTypes.Image }],
        [{ type: InterfaceTypes.BinaryFile, data: file }],
      ),
    )
    const image = outputs[1]?.data as ReaderImage | undefined
    if (!image) throw new RangeError('the decoder returned no image')
    return image
  },
})
