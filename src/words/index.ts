export { adviceReasons, adviceSentences } from './advice.js'
export {
  daySentence,
  daysDriftSentence,
  driftSentence,
  inForceSentence,
  stateSentences,
} from './axis-state.js'
export { BUDGET_MEANINGS } from './budget-sources.js'
export { comparisonSentence, differingSentences } from './comparison.js'
export {
  type CutFieldNames,
  type CutNotes,
  chipLoadEach,
  cutChangeText,
  cutLimitText,
  cutNotes,
  cutNoteText,
  cutProblemWords,
  noDialWords,
} from './cut/index.js'
export { checkRunSentence, noRunSentence, shiftSentence } from './day-shift.js'
export { driftDrawing } from './drift-drawing.js'
export {
  goodEnoughText,
  nextRunText,
  outOfReachText,
  outOfReachTexts,
  standText,
  whyHereText,
  whyText,
  widthText,
} from './good-enough.js'
export { historyEntryText } from './history-entry.js'
export { importSentences } from './import-report.js'
export { measuredText, scaleText, shapeText, trialText } from './learned-readout.js'
export { marksBeyond } from './marks-beyond.js'
export { otherAxisText } from './other-axis.js'
export { outlookSentence } from './recheck-plan.js'
export {
  describeChange,
  notRecheckedSentences,
  rangeWords,
  recheckSentences,
  signedInterval,
  verdictSentence,
} from './recheck-report.js'
export { runHeading } from './run-heading.js'
export { boundText, stopLimits, stopSentences, stopSettingText } from './stop-words.js'
