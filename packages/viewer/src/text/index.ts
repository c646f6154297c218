export { deg, grey, mm, mm2, mmTolerance, percent, plain, tolerance } from './format.js'
export { exitWords, productName, productVersion, rayWords, standing, teeth } from './words.js'
