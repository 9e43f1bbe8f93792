import { readFileSync } from 'node:fs'
import {
  lostFeedPrior,
  onAnyDay,
  onThatDay,
  placeShifts,
  sessionShares,
  settingShifts,
} from '../../src/planning/days/index.js'
import { feedAtDial } from '../../src/planning/index.js'
import { fitAxis, type RunEvidence } from '../../src/regression/index.js'
import { learnDays } from '../../src/regression/scatter/day-effect.js'
import { asTable, holds } from './fitted-tables.js'
import { logRatios } from './motor-sessions.js'
import { type Figure, type Row, verdictOf } from './report/targets.js'
import { type Estimate, quantileOf } from './tally.js'

// fixtures/open-data/README.md names source and licence: two geared motors, both directions, two sessions.

export interface Point {
  readonly session: string
  readonly wheel: string
  readonly direction: 1 | -1
  readonly command: number
  readonly rpm: number
}

/** Commands taken as marks. Below 60 the motors are not steady; 250 is the most there is. */
const MOTOR_PLANS: Readonly<Record<string, readonly number[]>> = {
  '4 marks': [60, 120, 190, 250],
  '5 marks': [60, 100, 150, 200, 250],
  '6 marks': [60, 90, 130, 170, 210, 250],
  '8 marks': [60, 80, 100, 130, 160, 190, 220, 250],
  '10 marks': [60, 75, 90, 110, 130, 150, 175, 200, 225, 250],
}

/** The encoders' own resolution, rev/min. */
const SPEED_UNCERTAINTY = 0.3

/**
 * What the marks are from; a check run is one more run at the middle mark in plus direction, and two each way are those at
 * the middle and the slowest.
 */
type MarksFrom = (typeof MARKS_FROM)[number]
const MARKS_FROM = [
  'A and B, one run each',
  'A alone',
  'A alone, one check run of B',
  'A alone, two check runs of B each way',
] as const

export interface MotorResult {
  readonly plan: string
  readonly wheel: string
  readonly sessions: MarksFrom
  /** Points that were not marks, of which session. */
  readonly tested: 'A' | 'B'
  /** Share within the band of the next setting, percent; null where the program gives no band. */
  readonly heldPercent: Estimate | null
  /** Median half width of that band, percent of the feed. */
  readonly halfWidthPercent: number | null
  /** Root mean square of how far the two sessions differ over the points tested, percent. */
  readonly differPercent: number
  /** Median distance of the points from the curve, percent. */
  readonly offPercent: number
}

/** Points of the file within the commands that the plans span. */
export function motorPoints(path: URL): Point[] {
  return readFileSync(path, 'utf8')
    .trim()
    .split('\n')
    .slice(1)
    .map((line) => {
      const [session = '', wheel = '', command = '', rpm = ''] = line.split(',')
      return {
        session,
        wheel,
        direction: Number(command) > 0 ? (1 as const) : (-1 as const),
        command: Math.abs(Number(command)),
        rpm: Math.abs(Number(rpm)),
      }
    })
    .filter(({ command }) => command >= 60 && command <= 250)
}

/**
 * How the points between sparse marks lie in the bands of the measured motors. The command is digital, so the dial is
 * told to come back to the same place; one run a mark and session. From one session alone no mark is repeated, and the
 * scatter is assumed; the other session is then another day, of which nothing is known.
 */
export function measuredMotors(points: readonly Point[]): MotorResult[] {
  return Object.entries(MOTOR_PLANS).flatMap(([plan, commands]) =>
    ['left', 'right'].flatMap((wheel) => {
      const own = points.filter((point) => point.wheel === wheel)
      return MARKS_FROM.flatMap((sessions) => {
        const both = sessions === 'A and B, one run each'
        const marks = own.filter(
          (point) => commands.includes(point.command) && (both || point.session === 'A'),
        )
        const runs = marks.map(evidence)
        const asMeasured = fitAxis(runs, { stepped: false, dialClicks: true }).directions.map((side) =>
          asTable(side),
        )
        const runIds = new Set(runs.map((run) => run.runId))
        const checks = checkRuns(own, commands, sessions)
        const told = [...runs, ...checks]
        const shares = sessionShares(runs, runIds)
        const found = settingShifts(placeShifts(asMeasured, told, runIds), shares)
        const shifts = found.sessions.flatMap((session) => session.shifts)
        const days = learnDays(shifts, shares, lostFeedPrior(), found.placeVariance)
        return (checks.length > 0 ? (['B'] as const) : (['A', 'B'] as const)).map((tested) => {
          // As the program answers: on a day that it knows, or on any.
          const known = told.some((run) => run.session === tested)
          const tables = asMeasured.map((table) =>
            known ? onThatDay(table, days.of(tested)) : onAnyDay(table, days),
          )
          const others = own.filter((point) => point.session === tested && !commands.includes(point.command))
          const judged = others.map((point) => {
            const table = tables.find((one) => one.direction === point.direction)!
            const { feed, nextSetting95 } = feedAtDial(table, point.command)
            return {
              held: holds(nextSetting95, point.rpm),
              banded: nextSetting95 !== null,
              half:
                nextSetting95 === null ? 0 : (50 * (nextSetting95[1] - nextSetting95[0])) / feed.feedMmPerMin,
              off: (100 * Math.abs(point.rpm - feed.feedMmPerMin)) / feed.feedMmPerMin,
            }
          })
          const banded = judged.every((point) => point.banded)
          const share = judged.filter((point) => point.held).length / judged.length
          const guarded = (share * judged.length + 1) / (judged.length + 2)
          return {
            plan,
            wheel,
            sessions,
            tested,
            heldPercent: banded
              ? {
                  value: 100 * share,
                  standardError: 100 * Math.sqrt((guarded * (1 - guarded)) / judged.length),
                  count: judged.length,
                }
              : null,
            halfWidthPercent: banded
              ? quantileOf(
                  judged.map((point) => point.half),
                  0.5,
                ).value
              : null,
            differPercent: sessionsDiffer(own, others),
            offPercent: quantileOf(
              judged.map((point) => point.off),
              0.5,
            ).value,
          }
        })
      })
    }),
  )
}

/** Session B's runs at some of the marks. */
function checkRuns(own: readonly Point[], commands: readonly number[], from: MarksFrom): RunEvidence[] {
  const ofB = (direction: 1 | -1) =>
    own.filter(
      (point) =>
        point.session === 'B' &&
        point.direction === direction &&
        commands.includes(point.command) &&
        // Where a motor stands still in either session there is nothing to check.
        own.every((one) => one.direction !== direction || one.command !== point.command || one.rpm > 0),
    )
  const at = (direction: 1 | -1, command: number) =>
    evidence(ofB(direction).find((point) => point.command === command)!)
  const middle = commands[Math.floor(commands.length / 2)]!
  if (from === 'A alone, one check run of B') return [at(1, middle)]
  if (from !== 'A alone, two check runs of B each way') return []
  return ([1, -1] as const).flatMap((direction) => {
    const slowest = Math.min(...ofB(direction).map((point) => point.command))
    return [at(direction, middle), at(direction, slowest)]
  })
}

/** Root mean square of how far the speed at a command differs between the sessions, percent. */
function sessionsDiffer(own: readonly Point[], tested: readonly Point[]): number {
  const logs = logRatios(tested, own)
  return 100 * Math.sqrt(logs.reduce((sum, log) => sum + log * log, 0) / logs.length)
}

/** Eight commands as marks, both sessions: what the points of both sessions decide, wheel by wheel. */
export function motorRows(motors: readonly MotorResult[]): Row[] {
  // The other session of a table from one alone is one draw of a day, which is no rate.
  const deciding = motors.filter(
    ({ plan, sessions, tested, heldPercent }) =>
      plan === '8 marks' &&
      heldPercent !== null &&
      (sessions === 'A and B, one run each' || (sessions === 'A alone' && tested === 'A')),
  )
  return deciding.flatMap((result): Row[] => {
    const { wheel, tested, differPercent } = result
    const of = { dimension: 'motor', level: `${wheel} wheel, ${result.sessions}, points of ${tested}` }
    const value = result.halfWidthPercent! / (1.96 * Math.sqrt(1.5 / 2) * differPercent)
    const { count } = result.heldPercent!
    // A standard deviation from n differences is known to 1/√(2n) of itself.
    const ratio = { value, standardError: value / Math.sqrt(2 * count), count }
    const held: Figure = {
      id: 'motor-coverage',
      title: 'measured motor: point within the band of the next setting',
      unit: '%',
      low: 93,
      high: 98,
      wanted: '93–98 %',
      read: () => result.heldPercent,
    }
    const width: Figure = {
      id: 'motor-width',
      title: 'measured motor: half width of that band over 1.96·√(3/2)·σ, σ of the two sessions',
      unit: '',
      low: null,
      high: 1.1,
      wanted: '≤ 1.1',
      read: () => ratio,
    }
    // What an assumed scatter makes of the width says nothing of these motors.
    return (result.sessions === 'A alone' ? [held] : [held, width]).map((figure) => {
      const estimate = figure.read({ ratios: {}, values: {} }, '')!
      return { figure, ...of, estimate, verdict: verdictOf(figure, estimate) }
    })
  })
}

function evidence(point: Point): RunEvidence {
  return {
    runId: `${point.session}/${point.direction * point.command}`,
    dial: point.command,
    direction: point.direction,
    feedMmPerMin: point.rpm,
    standardUncertaintyMmPerMin: SPEED_UNCERTAINTY,
    source: 'readout',
    session: point.session,
  }
}
