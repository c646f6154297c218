import { playwright } from '@vitest/browser-playwright'

const resolve = { conditions: ['alveometer-source', 'module', 'browser', 'development|production'] }

/** Everything that needs no page: library, loader, command line, outside checks. */
export const nodeProject = {
  resolve: { conditions: ['alveometer-source', 'node', 'development|production'] },
  ssr: { resolve: { conditions: ['alveometer-source', 'node', 'development|production'] } },
  test: {
    name: 'node',
    include: ['packages/*/test/**/*.test.ts', 'apps/*/test/**/*.test.ts', 'tests/**/*.test.ts'],
    exclude: ['**/*.browser.test.ts', '**/node_modules/**'],
    testTimeout: 120_000,
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
    include: ['packages/*/test/**/*.browser.test.ts'],
    testTimeout: 60_000,
    browser: {
      enabled: true,
      headless: true,
      screenshotFailures: false,
      instances: [{ browser: 'chromium' as const }],
      provider: playwright({
        launchOptions: {
          ...(process.env.CHROMIUM_PATH ? { executablePath: process.env.CHROMIUM_PATH } : {}),
          args: [
            '--no-sandbox',
            '--disable-quic',
            '--no-first-run',
            '--disable-background-networking',
            '--disable-component-update',
            '--disable-sync',
          ],
        },
      }),
    },
  },
}
