export { cutLimitText } from './cut-limit.js'
export {
  type CutNotes,
  chipLoadEach,
  cutChangeText,
  cutNotes,
  cutNoteText,
  noDialWords,
} from './cut-notes.js'
export { type CutFieldNames, cutProblemWords } from './cut-problem.js'
