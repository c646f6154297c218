export { drafting, panel, tokens } from './tokens.js'
