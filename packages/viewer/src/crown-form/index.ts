export type { CrownFormPart } from './alv-crown-form.js'
export { AlvCrownForm } from './alv-crown-form.js'
export { AlvCrownImport } from './alv-crown-import.js'
export type { CrownChoice, CrownUse } from './crown-choice.js'
