// A door of its own: what a cut needs is not loaded by a lookup.
export { chipLoadFor, type FittingChipLoad } from './chip-load-range.js'
export { chipThinningFactor } from './chip-thinning.js'
export { answerCut, type CutAnswer, type NoDial } from './cut-answer.js'
export { type CutChange, cutChanges } from './cut-changes.js'
export { type CutPlan, planCut, type WantedCut } from './cut-plan.js'
export {
  type CutConditions,
  type CutPower,
  type CutResults,
  chipLoadAt,
  cutResults,
  type FeedMarks,
} from './cut-results.js'
export type {
  ChipLoadRange,
  CutterMaterial,
  CutterRow,
  MaterialData,
  Sourced,
  SourceStatus,
  SpecificEnergy,
  StartingSpeed,
} from './cutting-data.js'
export { cuttingDataSchema, parseCuttingData } from './cutting-data-schema.js'
export { findMaterial, withOwnMaterials } from './own-materials.js'
export { removalRateMm3PerMin } from './removal-rate.js'
export { type ScallopHeight, scallopHeight } from './scallop-height.js'
export { SPINDLE_EFFICIENCY, spindlePowerW } from './spindle-power.js'
export { chooseSpindle, cuttingSpeedAt, type SpindleChoice, spindleSpeedRpm } from './spindle-speed.js'
export { feedPerToothMm, tableFeedMmPerMin } from './table-feed.js'
