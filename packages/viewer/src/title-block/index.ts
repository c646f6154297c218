export { AlvTitleBlock } from './alv-title-block.js'
