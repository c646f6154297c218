export type { CrownFormPart } from './alv-crown-form.js'
export { AlvCrownForm } from './alv-crown-form.js'
