// A door of its own: what a cut needs is not loaded by a lookup.
export { chipLoadFor, type FittingChipLoad, startingChipLoadMm } from './chip-load-range.js'
export { chipThinningFactor } from './chip-thinning.js'
export {
  conventionalTableMove,
  ROTATIONS,
  type Rotation,
  type TableMove,
  WORK_SIDES,
  type WorkSide,
} from './conventional-feed.js'
export { answerCut, type CutAnswer } from './cut-answer.js'
export type { CutChange } from './cut-changes.js'
export type { CutBounds, CutLimit } from './cut-limits.js'
export { planCut, type WantedCut } from './cut-plan.js'
export { type CutField, type CutProblem, cutProblem } from './cut-problems.js'
export type { CutConditions, FeedMarks } from './cut-results.js'
export {
  CUTTER_GEOMETRY,
  CUTTER_KINDS,
  type CutPass,
  type CutterKind,
  cutterKindNamed,
} from './data/cutter-kinds.js'
export {
  type ChipLoadRange,
  type CutterMaterial,
  type CutterRow,
  fastestPrintedMPerMin,
  type MaterialData,
  type OtherFigure,
  type Sourced,
  startingChipLoad,
  startingSpeed,
} from './data/cutting-data.js'
export { cuttingDataSchema, parseCuttingData } from './data/cutting-data-schema.js'
export { findMaterial, withOwnMaterials } from './data/own-materials.js'
export { deflectionMm, rimForceN } from './deflection.js'
export { feedForceN } from './feed-force.js'
export { removalOfKind, removalRateMm3PerMin } from './removal-rate.js'
export { type ScallopHeight, scallopHeight } from './scallop-height.js'
export { spindlePowerW } from './spindle-power.js'
export { chooseSpindle, cuttingSpeedAt, spindleSpeedRpm } from './spindle-speed.js'
export { feedPerToothMm, tableFeedMmPerMin } from './table-feed.js'
