export { AlvCrownView } from './alv-crown-view.js'
export type { CrownSide } from './crown-axes.js'
