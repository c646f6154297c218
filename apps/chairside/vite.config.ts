import { createReadStream, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { dirname, join } from 'node:path'
import { defaultClientConditions, defineConfig, type Plugin } from 'vite'

/** The decoders the page may ask for, by package. They are self-hosted: without this they would come from a CDN. */
const pipelines = { '@itk-wasm/dicom': ['read-image-dicom-file-series'] }

/** Where the page finds them, relative to its own address. */
const pipelinesPath = 'itk/pipelines'

/** The address of each decoder file and where it lies, found the way the scan package finds it. */
function pipelineFiles(): Map<string, string> {
  const scan = createRequire(join(import.meta.dirname, '../../packages/scan/package.json'))
  return new Map(
    Object.entries(pipelines).flatMap(([name, wanted]) =>
      wanted.flatMap((pipeline) =>
        ['.js', '.wasm.zst'].map((ending): [string, string] => [
          `${pipelinesPath}/${pipeline}${ending}`,
          join(dirname(scan.resolve(name)), 'pipelines', pipeline + ending),
        ]),
      ),
    ),
  )
}

/** Serves the decoders while developing and puts them into the built page, under the same addresses. */
function itkAssets(): Plugin {
  const files = pipelineFiles()
  return {
    name: 'alveometer-itk-assets',
    // Not through public/: there the dev server refuses to let a bundled worker import() them.
    configureServer(server) {
      server.middlewares.use((request, response, next) => {
        const path = (request.url ?? '').split('?', 1)[0]?.slice(1) ?? ''
        const file = files.get(path)
        if (!file) return next()
        response.setHeader('Content-Type', file.endsWith('.js') ? 'text/javascript' : 'application/zstd')
        createReadStream(file).pipe(response)
      })
    },
    generateBundle() {
      for (const [fileName, file] of files)
        this.emitFile({ type: 'asset', fileName, source: readFileSync(file) })
    },
  }
}

/** Serves the generated sample scan at sample/ while developing; scripts/serve.mjs does it for the built page. */
function sampleScan(): Plugin {
  const folder = join(import.meta.dirname, '../../sample-volumes/generated/upper-front')
  return {
    name: 'alveometer-sample-scan',
    configureServer(server) {
      server.middlewares.use('/sample', (request, response, next) => {
        const name = /^\/([\w-]+\.(?:zip|json))(?:\?|$)/.exec(request.url ?? '')?.[1]
        if (!name) return next()
        createReadStream(join(folder, name))
          .on('error', () => {
            response.statusCode = 404
            response.end('Not made yet: run `npm run sample`.')
          })
          .pipe(response)
      })
    },
  }
}

/** Shared memory needs a page that is isolated from other origins. */
const headers = {
  'Cross-Origin-Opener-Policy': 'same-origin',
  'Cross-Origin-Embedder-Policy': 'require-corp',
}

export default defineConfig({
  base: './',
  plugins: [itkAssets(), sampleScan()],
  resolve: { conditions: ['alveometer-source', ...defaultClientConditions] },
  worker: { format: 'es' },
  optimizeDeps: { exclude: ['itk-wasm', '@itk-wasm/dicom'] },
  server: { headers },
  preview: { headers },
  build: {
    outDir: 'dist',
    target: 'es2022',
    // Nothing inline, neither scripts nor data: the page runs under a policy that forbids it.
    assetsInlineLimit: 0,
    modulePreload: { polyfill: false },
    chunkSizeWarningLimit: 2000,
  },
})
