export { driftSentence, inForceSentence, stateSentences } from './axis-state.js'
export { driftDrawing } from './drift-drawing.js'
export { historyEntryText } from './history-entry.js'
export { describeChange, recheckSentences, signedInterval, verdictWords } from './recheck-report.js'
