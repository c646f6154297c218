export type { GeometryAnswers, KnownSides, OpenQuestion } from './answers.js'
export { answered, answersTo, knownSides, openQuestions, problemOf } from './answers.js'
export type { SlicePlacement, StackGeometry } from './stack.js'
export { stackGeometry } from './stack.js'
