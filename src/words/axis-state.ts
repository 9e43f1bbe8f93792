import type { AxisState, TableInForce } from '../jobs/index.js'
import type { DriftPoint } from '../planning/control-charts/index.js'
import type { Axis } from '../store/index.js'
import { directionSign } from '../units/index.js'

/** How old the tables in force are, and a drift where there is one; a sentence each. */
export function stateSentences({ axis, inForce, drift }: AxisState): string[] {
  return [
    ...inForce.map((table) => inForceSentence(axis, table)),
    ...(drift === null ? [] : [driftSentence(drift)]),
  ]
}

/** How old a table in force is, and what its last recheck said. */
export function inForceSentence(
  axis: Axis,
  { direction, version, ageDays, lastRecheck }: TableInForce,
): string {
  const checked =
    lastRecheck === null
      ? 'not rechecked since'
      : `last rechecked ${days(lastRecheck.ageDays)} ago: ${lastRecheck.verdict} within ${lastRecheck.withinPercent} %`
  return `axis ${axis.name}: table ${version} of direction ${directionSign(direction)} is ${days(ageDays)} old, ${checked}.`
}

function days(ageDays: number): string {
  const whole = Math.floor(ageDays)
  return whole === 1 ? '1 day' : `${whole} days`
}

/** A drift that no single recheck told of. */
export function driftSentence({ averagePercent, limitsPercent: [low, high] }: DriftPoint): string {
  return `The feed drifts: the weighted average of the rechecks is ${signed(averagePercent)} %, beyond its limits of ${signed(low)} … ${signed(high)} %, although no single recheck found a change. Recheck with more runs, or calibrate.`
}

function signed(value: number): string {
  return `${value > 0 ? '+' : ''}${value.toFixed(2)}`
}
