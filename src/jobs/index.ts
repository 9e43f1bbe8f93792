export type { RecheckAsked } from '../planning/procedures/index.js'
export { examine, type Finding } from './care/doctor.js'
export { type Backup, backUp, restore } from './care/store-backup.js'
export {
  brokenOff,
  brokenOffNotice,
  finishBrokenOff,
} from './care/store-unfinished.js'
export {
  noteCut,
  type OwnExperience,
  ownExperience,
} from './cut/own-cut-notes.js'
export { type CuttingData, readCuttingData } from './cut/read-cutting-data.js'
export type { StartingValues, ValueSource } from './cut/starting-values.js'
export {
  type AskedCut,
  type WorkedOutCut,
  workOutCut,
} from './cut/work-out-cut.js'
export { makeRunSheet } from './exchange/make-run-sheet.js'
export { type Cautions, cautionsFor, type Occasion, traverseOccasion } from './live/cautions.js'
export { checkDial } from './live/check-dial.js'
export {
  openGuidedRecheck,
  recheckProcedure,
  runsForRecheck,
} from './live/guided-recheck.js'
export {
  GuidedSession,
  type StepResult,
} from './live/guided-session.js'
export type { LiveEvent, LiveStatus } from './live/live-events.js'
export { LiveSession } from './live/live-session.js'
export type { LiveSource, LiveWork } from './live/live-work.js'
export { RECHECK_TAG } from './live/run-conditions.js'
export { isTooUnsure, leaveOutShort, leaveOutUnsure } from './live/runs-that-count.js'
export { dropReasonText, rejectionText } from './live/step-problem.js'
export { nowIso } from './now.js'
export { type AxisAdvice, adviseAxis } from './plan/advise-axis.js'
export {
  adviseTable,
  GOOD_ENOUGH,
  type GoodEnough,
  goodEnoughProcedure,
  type TableAdvice,
  type TableStanding,
} from './plan/advise-table.js'
export {
  addSimulatedMill,
  compareWithTruth,
  type DemoRun,
  simulatedCalibration,
  type TruthComparison,
} from './plan/demo-session.js'
export { type ExpectedSession, expectedSession } from './plan/expected-session.js'
export { findProcedure } from './plan/read-procedure.js'
export { likelyFeeds, minutesAt } from './plan/session-pace.js'
export {
  type AskedStops,
  type BoundedCoast,
  type StopDistances,
  stopDistances,
} from './plan/stop-distances.js'
export { linesTellUnit, parseMoveMm, settingsByMove, unitIsOpen } from './readout/known-move.js'
export {
  measuredLines,
  type StatedLength,
  scaleOfMove,
  USUAL_MOVE_ERROR_SHARE,
} from './readout/learned-move.js'
export { type PortLink, portLink } from './readout/port-link.js'
export {
  type ColumnChoice,
  checkLearned,
  chooseColumn,
  type HeardReadout,
  hearReadout,
  type LearnedAxis,
  learnAxis,
  linesOf,
} from './readout/readout-learning.js'
export { ingestOptions, type ReadoutSettings } from './readout/readout-settings.js'
export { type ReadoutSummary, ReadoutTally } from './readout/readout-tally.js'
export { adoptChange, offeredChange } from './recheck/adopt-change.js'
export { driftOf, type TableInForce, tablesInForce } from './recheck/axis-drift.js'
export { recheckPlan } from './recheck/recheck-plan.js'
export { openRecheck, type RecheckRecord, recordIn } from './recheck/recheck-record.js'
export { newestRecheck, nextRuns, type RecheckReport, recheckRuns } from './recheck/recheck-runs.js'
export { filmTiming } from './record/film-timing.js'
export { judgeAgain } from './record/judge-again.js'
export { type NamedFile, openTakes } from './record/open-takes.js'
export { type PressTiming, saidTiming, type TimingOf, timingOf } from './record/person-timing.js'
export { marksFit, type PressedTraverse, pressedEntry } from './record/pressed-entry.js'
export { READ_TWICE } from './record/read-twice.js'
export { recordStopwatchTakes, tryStopwatchTakes } from './record/record-stopwatch.js'
export { recordReadoutTakes, tryReadoutTakes } from './record/record-takes.js'
export { runSamples } from './record/run-samples.js'
export type { StopwatchMarks } from './record/stopwatch-marks.js'
export type { ReadoutTake, StopwatchTake, TakeConditions, TakeOutcome } from './record/takes.js'
export { timedEntry } from './record/timed-entry.js'
export {
  expectedSweeps,
  SWEEP_CALIBRATION,
  sweepCalibration,
  travelsBegan,
} from './sweep/sweep-calibration.js'
export type { SweepCue, SweepPlan } from './sweep/sweep-guide.js'
export { sweepGuidedRecheck, sweepRecheck } from './sweep/sweep-recheck.js'
export { SweepSession, type Sweeps, singleSweep } from './sweep/sweeps.js'
export { SweepsUntilGoodEnough } from './sweep/sweeps-until-good-enough.js'
export { addAxis } from './tables/add-axis.js'
export { type AxisState, stateOf } from './tables/axis-state.js'
export { type ComparedRuns, compareRuns, type GroupOfRuns } from './tables/compare-runs.js'
export { onDays, type TableOnDays, type TableToday, toldForAnyDay } from './tables/days-of-table.js'
export {
  type ExplainedRun,
  explainFeed,
  type FeedExplanation,
  type UnusedRun,
} from './tables/explain-feed.js'
export { type FitOutcome, fitTables } from './tables/fit-tables.js'
export { type AxisInventory, inventoryOf } from './tables/inventory.js'
export { newestMove } from './tables/machine-state.js'
export { runsWithOddTold } from './tables/odd-run-check.js'
export { rapidFeed } from './tables/rapid-feed.js'
export { tableUnderLoad } from './tables/table-under-load.js'
export { tableInForce, withRechecks } from './tables/tables-told.js'
