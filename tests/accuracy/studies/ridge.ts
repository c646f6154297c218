import { measureScene, type SceneResult } from '../ray-errors.js'
import { type RidgeOptions, ridgeScene } from '../scenes/ridge.js'
import type { Study } from './study.js'

interface RidgeCase extends RidgeOptions {
  readonly name: string
}

const USUAL = { spacingMm: 0.2, sigmaMm: 0.3, noiseSd: 100, textureSd: 150, plateMm: 0.75 } as const
const VOIDS = { ...USUAL, voidsMm: [1, 3.5] } as const

/** Which surface is measured: a ridge of 9 x 15 mm with dark voids in its marrow. */
export const ridgeStudy: Study<RidgeCase, SceneResult> = {
  name: 'voids',
  seeds: 8,
  cases: [
    { ...USUAL, name: 'no voids' },
    { ...VOIDS, name: '40 voids of 1 to 3.5 mm' },
    { ...VOIDS, name: 'the same behind a facial plate of 0.3 mm', plateMm: 0.3 },
    { ...VOIDS, name: 'the same and 12 pinholes of 0.8 mm', pinholes: 12 },
    { ...USUAL, name: '20 voids of 3 to 5 mm', voidsMm: [3, 5], voids: 20 },
    { ...VOIDS, name: '40 voids and other bone 2.5 mm beyond', otherBoneMm: 2.5 },
    { ...VOIDS, name: '40 voids, gum 1.5 mm and then air', gumMm: 1.5 },
  ],
  measure: (it, seed) => measureScene(ridgeScene(it, `${it.name}/${seed}`)),
}
