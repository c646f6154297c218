import { measureScene, type SceneResult } from '../ray-errors.js'
import { type ShellOptions, shellScene, THIN_PLATE } from '../scenes/shell.js'
import type { Study, StudyCase } from './study.js'

export interface ShellCase extends ShellOptions, StudyCase {}

export type ShellStudy = Study<ShellCase, SceneResult>

const measure = (it: ShellCase, seed: string): SceneResult =>
  measureScene(shellScene(it, `${it.name}/${seed}`))

export const VOXELS_MM = [0.1, 0.2, 0.3, 0.4] as const
export const SIGMAS_MM = [0.15, 0.25, 0.35] as const
export const NOISES = [0, 50, 100, 150] as const

export const gridName = (spacingMm: number, sigmaMm: number, noiseSd: number) =>
  `h ${spacingMm} s ${sigmaMm} n ${noiseSd}`

/** Voxel, blur and noise, each with each; marrow texture 100. */
export const gridStudy: ShellStudy = {
  name: 'grid',
  seeds: 8,
  cases: VOXELS_MM.flatMap((spacingMm) =>
    SIGMAS_MM.flatMap((sigmaMm) =>
      NOISES.map((noiseSd) => ({
        name: gridName(spacingMm, sigmaMm, noiseSd),
        ...{ spacingMm, sigmaMm, noiseSd, textureSd: 100 },
        // Scans of six million voxels; only the noise-free ones answer a bar.
        ...(spacingMm === 0.1 && noiseSd > 0 ? { seeds: 4 } : {}),
      })),
    ),
  ),
  measure,
}

const USUAL = { spacingMm: 0.2, sigmaMm: 0.25, noiseSd: 100, textureSd: 100 } as const
const CORRELATED = { noiseSigmaVoxels: 0.6, textureSd: 150 } as const

/** What may differ from the usual scene: voxel 0.2, blur 0.25, noise 100, texture 100. */
export const perturbedStudy: ShellStudy = {
  name: 'perturbed',
  seeds: 8,
  cases: [
    { ...USUAL, name: 'nothing' },
    { ...USUAL, name: 'cancellous bone 200', marrowGrey: 200 },
    { ...USUAL, name: 'cancellous bone 700', marrowGrey: 700 },
    { ...USUAL, name: 'soft tissue -50', softGrey: -50 },
    { ...USUAL, name: 'soft tissue 150', softGrey: 150 },
    { ...USUAL, name: 'gum 0.6 mm, then air', gumMm: 0.6 },
    { ...USUAL, name: 'gum 0.8 mm, then air', gumMm: 0.8 },
    { ...USUAL, name: 'gum 1.5 mm, then air', gumMm: 1.5 },
    { ...USUAL, name: 'gum 3 mm, then air', gumMm: 3 },
    { ...USUAL, name: 'cortex 1000', cortexGrey: 1000 },
    { ...USUAL, name: 'cortex 2000', cortexGrey: 2000 },
    { ...USUAL, name: 'marrow texture 200', textureSd: 200 },
    { ...USUAL, name: 'blur 1.4 times along z', kernel: 'tall' },
    { ...USUAL, name: 'shading 20 grey/mm', shadingPerMm: 20 },
    { ...USUAL, name: 'edge-enhancing kernel', kernel: 'enhancing' },
    { ...USUAL, name: 'noise white, texture 150', textureSd: 150 },
  ],
  measure,
}

/** Noise that goes together over neighbouring voxels (0.6 voxel), texture 150. */
export const correlatedStudy: ShellStudy = {
  name: 'correlated',
  seeds: 8,
  cases: (
    [
      [0.2, 0.25],
      [0.2, 0.35],
      [0.3, 0.25],
      [0.3, 0.35],
      [0.4, 0.35],
    ] as const
  ).map(([spacingMm, sigmaMm]) => ({
    name: gridName(spacingMm, sigmaMm, 100),
    ...{ spacingMm, sigmaMm, noiseSd: 100 },
    ...CORRELATED,
  })),
  measure,
}

/** Plates down to 0.18 mm. */
export const thinStudy: ShellStudy = {
  name: 'thin',
  seeds: 8,
  cases: (
    [
      [0.2, 0.15],
      [0.2, 0.25],
      [0.3, 0.25],
      [0.2, 0.35],
    ] as const
  ).map(([spacingMm, sigmaMm]) => ({
    name: gridName(spacingMm, sigmaMm, 100),
    ...{ spacingMm, sigmaMm, noiseSd: 100, textureSd: 100, plate: THIN_PLATE },
  })),
  measure,
}
