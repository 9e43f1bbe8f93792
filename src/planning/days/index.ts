export { halfWidthAfterCheck } from './after-check.js'
export { daysBetween } from './days-between.js'
export { sessionShares, sessionShifts } from './session-shifts.js'
export { nextOnAnyDay, onAnyDay, onThatDay, type PercentInterval, shiftPercent } from './told-tables.js'
