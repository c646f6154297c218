import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { pathToFileURL } from 'node:url'
import {
  CodecMissing,
  type Codecs,
  type OpenJph,
  type OpenJphFactory,
  PIPELINE,
  pipelineArguments,
} from '../decode/index.js'

/** An instance of a pipeline in memory; what can be done with it itk-wasm knows. */
type Pipeline = object

/** The two halves of itk-wasm's `runPipelineNode`, which makes a new instance for every call. */
interface ItkInNode {
  load(pipelinePath: string): Promise<Pipeline>
  run(
    pipeline: Pipeline,
    args: readonly string[],
    outputs: readonly { type: string }[],
    inputs: readonly { type: string; data: unknown }[],
  ): { readonly outputs: readonly { readonly data?: { readonly data?: unknown } }[]; readonly stderr: string }
}

const require = createRequire(import.meta.url)

/** The codecs in Node, from the packages installed beside this one. */
export function nodeCodecs(): Codecs {
  let itk: Promise<{ run: ItkInNode['run']; pipeline: Pipeline }> | undefined
  let openJph: Promise<OpenJph> | undefined
  const missing = (cause: unknown) => {
    throw new CodecMissing('a codec could not be loaded', { cause })
  }
  return {
    async runItk(files) {
      itk ??= loadItk().catch(missing)
      const { run, pipeline } = await itk
      const { outputs, stderr } = run(
        pipeline,
        pipelineArguments(files),
        [{ type: 'Image' }, { type: 'JsonCompatible' }],
        files.map((data) => ({ type: 'BinaryFile', data })),
      )
      return { data: outputs[0]?.data?.data, stderr }
    },
    openJph() {
      openJph ??= loadOpenJph().catch(missing)
      return openJph
    },
    reset() {
      itk = undefined
      openJph = undefined
    },
  }
}

async function loadItk() {
  const inside = join(dirname(require.resolve('itk-wasm')), 'pipeline', 'internal')
  const part = async (name: string) =>
    (await import(pathToFileURL(join(inside, name)).href)).default as unknown
  const load = (await part('load-emscripten-module-node.js')) as ItkInNode['load']
  const run = (await part('run-pipeline-emscripten.js')) as ItkInNode['run']
  const pipeline = await load(join(dirname(require.resolve('@itk-wasm/dicom')), 'pipelines', PIPELINE))
  return { run, pipeline }
}

function loadOpenJph(): Promise<OpenJph> {
  const make = require('@cornerstonejs/codec-openjph/wasmjs') as OpenJphFactory
  const silent = () => {}
  return make({ print: silent, printErr: silent })
}
