export { adoptChange, offeredChange } from './adopt-change.js'
export { type AxisAdvice, adviseAxis } from './advise-axis.js'
export { driftOf, type TableInForce, tablesInForce } from './axis-drift.js'
export { cautionsFor, type Occasion } from './cautions.js'
export { checkDial } from './check-dial.js'
export { type ComparedRuns, compareRuns, type GroupOfRuns } from './compare-runs.js'
export {
  addSimulatedMill,
  compareWithTruth,
  type DemoRun,
  simulatedCalibration,
  type TruthComparison,
} from './demo-session.js'
export { examine, type Finding } from './doctor.js'
export { type ExplainedRun, explainFeed, type FeedExplanation, type UnusedRun } from './explain-feed.js'
export { type FitOutcome, fitTables } from './fit-tables.js'
export { type GuidedRecheck, openGuidedRecheck, recheckProcedure, runsForRecheck } from './guided-recheck.js'
export { GuidedSession, type RecheckAsked, type StepResult } from './guided-session.js'
export { type JudgedAgain, judgeAgain } from './judge-again.js'
export { type LiveListener, LiveRecorder, SINGLE_RUN_REST_S } from './live-recorder.js'
export { makeRunSheet } from './make-run-sheet.js'
export { type FileReading, type NamedFile, type OpenedTakes, openTakes } from './open-takes.js'
export { type PressTiming, type TimingOf, timingOf } from './person-timing.js'
export { type PortLink, portLink } from './port-link.js'
export { type CuttingData, readCuttingData } from './read-cutting-data.js'
export { findProcedure } from './read-procedure.js'
export {
  type ColumnChoice,
  checkLearned,
  chooseColumn,
  type HeardReadout,
  hearReadout,
  type LearnedAxis,
  learnAxis,
  linesOf,
} from './readout-learning.js'
export type { ReadoutSettings } from './readout-settings.js'
export { type ReadoutSummary, ReadoutTally } from './readout-tally.js'
export { openRecheck } from './recheck-record.js'
export {
  nextRuns,
  type RecheckReport,
  recheckPlan,
  recheckRuns,
} from './recheck-runs.js'
export {
  type ReadoutTake,
  recordReadoutTakes,
  recordStopwatchTakes,
  type StopwatchTake,
  type TakeConditions,
  type TakeOutcome,
  tryReadoutTakes,
  tryStopwatchTakes,
} from './record-takes.js'
export { RECHECK_TAG } from './run-conditions.js'
export { runSamples } from './run-samples.js'
export {
  type AskedStops,
  type BoundedCoast,
  type StopDistances,
  stopDistances,
} from './stop-distances.js'
export type { StopwatchMarks } from './stopwatch-marks.js'
export { type Backup, backUp, type Restored, restore } from './store-backup.js'
export { brokenOff, brokenOffNotice, type FinishedRecordings, finishBrokenOff } from './store-unfinished.js'
export { type TableUnderLoad, tableUnderLoad } from './table-under-load.js'
