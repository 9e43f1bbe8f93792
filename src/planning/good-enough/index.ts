export { type ExpectedTable, expectedTable } from './expected-table.js'
export {
  type Because,
  type NextForTable,
  nextForTable,
  type OutOfReach,
  type Setting,
  type TableQuestion,
} from './next-for-table.js'
export { type NextTravel, nextTravel } from './next-travel.js'
export { enoughAt, halfWidthOf, type KnownPlace, placesOf, type Wish } from './places.js'
export type { PlannedTravel, TravelQuestion } from './plan-travels.js'
export { firstSettings, type SettableDial, settableDials } from './settings.js'
