export { chiralMarks, chiralPhantom, chiralStorage } from './chiral.js'
