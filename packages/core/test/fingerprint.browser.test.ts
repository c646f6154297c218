import { expect, test } from 'vitest'
import { expectedFingerprints, fingerprints } from './fingerprint-cases.js'

test('fingerprints in a browser are those of Node', () => {
  expect(fingerprints()).toEqual(expectedFingerprints)
})
