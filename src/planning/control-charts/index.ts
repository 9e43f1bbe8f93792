export { type ChartedDay, type DayPoint, dayChart } from './day-chart.js'
export {
  type ChartPoint,
  type CheckedFeed,
  type DriftPoint,
  type DriftSection,
  driftChart,
  unnoticedDrift,
} from './drift.js'
export { type ChartedValue, type EwmaOptions, type EwmaPoint, ewmaChart } from './ewma.js'
export { type IndividualsLimits, individualsLimits } from './individuals.js'
