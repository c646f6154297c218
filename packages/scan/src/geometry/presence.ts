import { dot, length, type Vec3 } from '@alveometer/core'
import type { SliceHeader } from '../headers/index.js'
import { block, count, nameFiles, type ReportCode, type ReportEntry } from '../report/index.js'

// Six decimals of a direction cosine leave 1e-6; a few devices write four.
const UNIT_TOLERANCE = 1e-3

/** Whether every slice has a position, an orientation and a pixel spacing, and each can be right. */
export function checkPresence(slices: readonly SliceHeader[]): ReportEntry[] {
  const report: ReportEntry[] = []
  const need = (code: ReportCode, what: string, has: (h: SliceHeader) => boolean, open = false) => {
    const bad = slices.filter((h) => !has(h)).map((h) => h.slice)
    if (bad.length === 0) return
    const everywhere = bad.length === slices.length && bad.length > 1
    const who = everywhere ? `${bad[0]} (as all ${count(bad.length, 'slice')})` : nameFiles(bad)
    const byHand = open && everywhere ? ' Or confirm it yourself.' : ''
    report.push(block(code, `${who}: ${what}${byHand}`, bad))
  }
  const frames = slices.every((h) => h.layout.frames > 1)
  const remedy = 'so nothing can be measured. Export the series again as CT images.'
  if (frames)
    need('slice-step-missing', `no frame says where it lies, ${remedy}`, (h) => h.position !== null, true)
  else
    need(
      'position-missing',
      `Image Position (Patient) is missing, ${remedy}`,
      (h) => h.position !== null,
      true,
    )
  need(
    'orientation-missing',
    `Image Orientation (Patient) is missing, ${remedy}`,
    (h) => h.rowDirection !== null,
    true,
  )
  need('spacing-missing', `Pixel Spacing is missing, ${remedy}`, (h) => h.pixelSpacingMm !== null, true)
  const wrong = 'Export the series again as CT images.'
  need(
    'bad-spacing',
    `Pixel Spacing cannot be right. ${wrong}`,
    (h) => h.pixelSpacingMm?.every(isPlausible) ?? true,
  )
  need(
    'bad-orientation',
    `Image Orientation (Patient) is not two perpendicular directions. ${wrong}`,
    isFrame,
  )
  return report
}

/** Micro-CT goes down to some micrometres, survey scans up to a few millimetres. Beyond, the number is not millimetres. */
export const isPlausible = (spacingMm: number): boolean => spacingMm >= 0.001 && spacingMm <= 50

function isFrame({ rowDirection: row, columnDirection: column }: SliceHeader): boolean {
  if (!row || !column) return true
  const unit = (v: Vec3) => Math.abs(length(v) - 1) < UNIT_TOLERANCE
  return unit(row) && unit(column) && Math.abs(dot(row, column)) < UNIT_TOLERANCE
}
