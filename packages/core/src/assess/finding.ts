import type { Finding, FindingLevel } from './assessment.js'

/** A finding without a number of its own. */
export const remark = (code: string, level: FindingLevel, text: string, source = ''): Finding => ({
  code,
  level,
  text,
  value: null,
  limit: null,
  unit: '',
  source,
})
