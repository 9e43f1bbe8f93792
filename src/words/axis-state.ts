import type { AxisState, TableInForce } from '../jobs/index.js'
import type { DayPoint, DriftPoint } from '../planning/control-charts/index.js'
import type { Axis } from '../store/index.js'
import { countOf } from '../text/index.js'
import { directionSign } from '../units/index.js'

/** How old the tables in force are, and a drift where there is one; a sentence each. */
export function stateSentences({ axis, inForce, drift, days: sessions }: AxisState): string[] {
  const wandered = daysDriftSentence(sessions)
  return [
    ...inForce.map((table) => inForceSentence(axis, table)),
    ...(drift === null ? [] : [driftSentence(drift)]),
    ...(wandered === null ? [] : [wandered]),
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
      : `last rechecked ${days(lastRecheck.ageDays)} ago: ${verdictWords(lastRecheck)}`
  return `axis ${axis.name}: table ${version} of direction ${directionSign(direction)} is ${days(ageDays)} old, ${checked}.`
}

function verdictWords({ verdict, withinPercent }: NonNullable<TableInForce['lastRecheck']>): string {
  if (verdict === 'moved') return `moved by more than ${withinPercent} %`
  return `${verdict === 'holds' ? 'holds' : 'not decided'} within ${withinPercent} %`
}

function days(ageDays: number): string {
  return countOf(Math.floor(ageDays), 'day')
}

/** A drift that no single recheck told of. */
export function driftSentence({ averagePercent, limitsPercent: [low, high] }: DriftPoint): string {
  return `The feed drifts: the weighted average of the rechecks is ${signed(averagePercent)} %, beyond its limits of ${signed(low)} … ${signed(high)} %, although no single recheck found a change. Recheck with more runs, or calibrate.`
}

/** That the days since a table lie off it together, which one day after the other would not; null where they do not. */
export function daysDriftSentence(sessions: readonly DayPoint[]): string | null {
  const newest = sessions.at(-1)
  if (newest === undefined || !newest.beyond) return null
  const [low, high] = newest.limitsPercent
  return `The days since the table lie off it: their weighted average is ${signed(newest.averagePercent)} %, beyond the ${signed(low)} … ${signed(high)} % that days may bring. Recheck the table.`
}

/** What one session moved all feeds by, a line of the history. */
export function daySentence({
  session,
  percent,
  interval95: [low, high],
  runs,
  checkRuns,
}: DayPoint): string {
  const kind = checkRuns === runs ? 'check run' : 'run'
  return `session ${session}: ${signed(percent)} % against the table (95 %: ${signed(low)} … ${signed(high)} %), from ${runs === 1 ? `one ${kind}` : `${runs} ${kind}s`}`
}

function signed(value: number): string {
  return `${value > 0 ? '+' : ''}${value.toFixed(2)}`
}
