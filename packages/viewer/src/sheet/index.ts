export { drafting, panel, questionSheet, tokens } from './tokens.js'
