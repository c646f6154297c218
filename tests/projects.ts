import { playwright } from '@vitest/browser-playwright'
import { browserArguments, findBrowser } from '../scripts/browser.mjs'

const resolve = { conditions: ['alveometer-source', 'module', 'browser', 'development|production'] }

/** Found once, for the browser project and for tests that start a browser of their own. */
const browserPath = findBrowser()

/** Everything that needs no page: library, loader, command line, outside checks. */
export const nodeProject = {
  resolve: { conditions: ['alveometer-source', 'node', 'development|production'] },
  ssr: { resolve: { conditions: ['alveometer-source', 'node', 'development|production'] } },
  test: {
    name: 'node',
    include: ['packages/*/test/**/*.test.ts', 'apps/*/test/**/*.test.ts', 'tests/**/*.test.ts'],
    exclude: ['**/*.browser.test.ts', '**/node_modules/**'],
    testTimeout: 120_000,
    env: browserPath ? { CHROMIUM_PATH: browserPath } : {},
  },
}

/** Elements and pages, in a real browser. */
export const browserProject = {
  resolve,
  server: {
    headers: {
      'Cross-Origin-Opener-Policy': 'same-origin',
      'Cross-Origin-Embedder-Policy': 'require-corp',
    },
  },
  worker: { format: 'es' as const },
  optimizeDeps: { exclude: ['itk-wasm', '@itk-wasm/dicom'] },
  test: {
    name: 'browser',
    include: ['packages/*/test/**/*.browser.test.ts', 'apps/*/test/**/*.browser.test.ts'],
    testTimeout: 60_000,
    browser: {
      enabled: true,
      headless: true,
      screenshotFailures: false,
      instances: [{ browser: 'chromium' as const }],
      provider: playwright({
        launchOptions: {
          ...(browserPath ? { executablePath: browserPath } : {}),
          args: browserArguments,
        },
      }),
    },
  },
}
