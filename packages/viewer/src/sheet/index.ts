export { questionSheet } from './question-sheet.js'
export { drafting, panel, tokens } from './tokens.js'
