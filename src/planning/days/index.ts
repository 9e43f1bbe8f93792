export { type WorthOfCheck, worthOfCheck } from './after-check.js'
export { daysBetween } from './days-between.js'
export { effectAt, lostFeedPrior } from './lost-feed.js'
export { placeShifts, sessionShares, sessionShifts, settingShifts } from './session-shifts.js'
export {
  moreUneven,
  nextOnAnyDay,
  onAnyDay,
  onThatDay,
  type PercentInterval,
  type SettingShift,
  shiftPercent,
  shiftsAtEnds,
} from './told-tables.js'
