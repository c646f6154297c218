export type { GeometryAnswers, OpenQuestion } from './answers.js'
export { answered, openQuestions, problemOf } from './answers.js'
export type { SlicePlacement, StackGeometry } from './stack.js'
export { stackGeometry } from './stack.js'
