export { isCounting } from './counting-run.js'
export { CUT_OUTCOMES, type CutNote, type CutNotes, type CutOutcomeName } from './cut-notes.js'
export { refuseReadOnly } from './damage/file-checks.js'
export type { IntegrityReport } from './damage/integrity.js'
export { sortEvidence } from './evidence.js'
export { copyStore } from './file/copy-store.js'
export { defaultStorePath } from './file/default-path.js'
export { begunStores } from './file/empty-store.js'
export type { ChangeEntry, HistoryEntry, NewRecheck, Recheck } from './history-types.js'
export type {
  Axis,
  DirectionWays,
  Machine,
  MachineAxis,
  NewAxis,
  NewMachine,
} from './machines/machine-types.js'
export type {
  DialSetting,
  Evidence,
  LeftOutRun,
  NewRecording,
  NewSession,
  Recording,
  Run,
  RunFilter,
  RunJudgement,
  RunSource,
  Session,
  StopwatchRecord,
} from './measurement-types.js'
export type { InSession } from './measuring-session.js'
export type { MergeReport } from './merge/index.js'
export { openStore, type Store } from './open-store.js'
export type { Practice, Practices } from './practices.js'
export { isCutting } from './run-load.js'
export { type HashedTable, refuseChanged, tableHash } from './tables/table-hash.js'
export type { NewFit, StoredTable, TableFromFile, TableSummary } from './tables/table-types.js'
