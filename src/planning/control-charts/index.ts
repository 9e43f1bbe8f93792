export { type ChartedDay, type DayPoint, dayChart } from './day-chart.js'
export {
  type ChartPoint,
  type CheckedFeed,
  type DriftPoint,
  type DriftSection,
  driftChart,
  unnoticedDrift,
} from './drift.js'
export { ewmaChart } from './ewma.js'
export { individualsLimits } from './individuals.js'
