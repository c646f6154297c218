import { createReadStream, readFileSync } from 'node:fs'
import { createRequire } from 'node:module'
import { basename, dirname, extname, join } from 'node:path'
import { defaultClientConditions, defineConfig, type Plugin } from 'vite'

const scanPackage = join(import.meta.dirname, '../../packages/scan/package.json')

/** Where a package used by the scan package has its files, found the way that one finds it. */
const folderOf = (name: string): string => dirname(createRequire(scanPackage).resolve(name))

/** Address of the decoders, relative to the page's own. */
const decodersPath = 'itk/pipelines'

/** The pipelines of itk-wasm the page may ask for, by package. */
const pipelines = {
  '@itk-wasm/dicom': ['read-image-dicom-file-series'],
  '@itk-wasm/image-io': ['nrrd-read-image', 'nifti-read-image', 'meta-read-image'],
}

/**
 * The address of each decoder file and where it lies. They are self-hosted: without this, those of itk-wasm would come
 * from a CDN.
 */
function decoderFiles(): Map<string, string> {
  const itk = Object.entries(pipelines).flatMap(([name, wanted]) =>
    wanted.flatMap((pipeline) =>
      ['.js', '.wasm.zst'].map((ending) => join(folderOf(name), 'pipelines', pipeline + ending)),
    ),
  )
  const openJph = ['openjphjs.js', 'openjphjs.wasm'].map((name) =>
    join(folderOf('@cornerstonejs/codec-openjph'), name),
  )
  return new Map([...itk, ...openJph].map((file) => [`${decodersPath}/${basename(file)}`, file]))
}

/** What the dev server says a file is; the server of the built page has its own table. */
const contentTypes: Readonly<Record<string, string>> = {
  '.js': 'text/javascript',
  '.wasm': 'application/wasm',
  '.zst': 'application/zstd',
}

/** Serves the decoders while developing and puts them into the built page, under the same addresses. */
function decoderAssets(): Plugin {
  const files = decoderFiles()
  return {
    name: 'alveometer-decoder-assets',
    // Not through public/: there the dev server refuses to let a bundled worker import() them.
    configureServer(server) {
      server.middlewares.use((request, response, next) => {
        const path = (request.url ?? '').split('?', 1)[0]?.slice(1) ?? ''
        const file = files.get(path)
        if (!file) return next()
        response.setHeader('Content-Type', contentTypes[extname(file)] ?? 'application/octet-stream')
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
  plugins: [decoderAssets(), sampleScan()],
  resolve: { conditions: ['alveometer-source', ...defaultClientConditions] },
  worker: { format: 'es' },
  optimizeDeps: { exclude: ['itk-wasm', '@itk-wasm/dicom', '@itk-wasm/image-io'] },
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
