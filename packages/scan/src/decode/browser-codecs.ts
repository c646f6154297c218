import type { Codecs } from './codecs.js'
import { CodecMissing } from './failures.js'
import { PIPELINE, pipelineArguments } from './itk.js'
import type { OpenJph, OpenJphFactory } from './openjph.js'

/** Where the page serves the files of the codecs, absolute addresses. */
export interface CodecAddresses {
  readonly itk: string
  readonly openJph: string
}

/** The codecs in a browser, fetched from the page's own origin. */
export function browserCodecs(addresses: CodecAddresses): Codecs {
  const itkUrl = addresses.itk.replace(/\/$/, '')
  const openJphUrl = addresses.openJph.replace(/\/$/, '')
  let openJph: Promise<OpenJph> | undefined
  let itkRan = false
  return {
    async runItk(files) {
      try {
        const { InterfaceTypes, runPipeline } = await import('itk-wasm')
        const { outputs, stderr } = await runPipeline(
          spellings.get(itkUrl) ?? newSpelling(itkUrl),
          pipelineArguments(files),
          [{ type: InterfaceTypes.Image }, { type: InterfaceTypes.JsonCompatible }],
          files.map((data) => ({ type: InterfaceTypes.BinaryFile, data })),
          // `false` keeps the work in this thread.
          { pipelineBaseUrl: itkUrl, webWorker: false as never },
        )
        itkRan = true
        return { data: (outputs[0]?.data as { data?: unknown } | undefined)?.data, stderr }
      } catch (cause) {
        // Loading fails with an Error, decoding with a number or an error of WebAssembly.
        const loading = !itkRan && cause instanceof Error && !(cause instanceof WebAssembly.RuntimeError)
        throw loading ? new CodecMissing(cause.message, { cause }) : cause
      }
    },
    async openJph() {
      openJph ??= loadOpenJph(openJphUrl)
      try {
        return await openJph
      } catch (cause) {
        throw new CodecMissing(`${openJphUrl} has no decoder`, { cause })
      }
    },
    reset() {
      spellings.delete(itkUrl)
      itkRan = false
      openJph = undefined
    },
  }
}

/**
 * itk-wasm keeps one instance of a pipeline for each path it was asked for with, as long as the thread lives. By folder,
 * the spelling of the path that gives the instance in use; a new spelling gives a fresh one.
 */
const spellings = new Map<string, string>()
let spelled = 0

function newSpelling(folder: string): string {
  const path = './'.repeat(spelled++) + PIPELINE
  spellings.set(folder, path)
  return path
}

const factories = new Map<string, Promise<OpenJphFactory>>()

async function loadOpenJph(url: string): Promise<OpenJph> {
  const factory = factories.get(url) ?? loadFactory(`${url}/openjphjs.js`)
  factories.set(url, factory)
  // The next load may find it.
  factory.catch(() => factories.delete(url))
  const silent = () => {}
  const make = await factory
  return make({ locateFile: (name) => `${url}/${name}`, print: silent, printErr: silent })
}

/** The file exports nothing to an `import`, but hands itself to an AMD loader where there is one. */
async function loadFactory(url: string): Promise<OpenJphFactory> {
  const scope = globalThis as { define?: unknown }
  const before = scope.define
  let made: OpenJphFactory | undefined
  scope.define = Object.assign(
    (_: readonly string[], make: () => OpenJphFactory) => {
      made = make()
    },
    { amd: true },
  )
  try {
    await import(/* @vite-ignore */ url)
  } finally {
    scope.define = before
  }
  if (!made) throw new Error(`${url} is not the decoder`)
  return made
}
