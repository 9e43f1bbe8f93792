import { inverseVarianceWeights } from '../../numbers/inverse-variance.js'
import { mean } from '../../numbers/mean.js'
import { Z95 } from '../../numbers/z95.js'
import type { CurvePoint, FeedTable, MarkFit, RunEvidence } from '../../regression/index.js'
import type { SessionShift } from '../../regression/scatter/day-effect.js'
import type { Direction } from '../../traverse/index.js'
import { pointAt } from '../lookup/curve-grid.js'
import { slownessOf } from './lost-feed.js'
import { beside, varianceOf } from './variance-beside.js'

/** What a table's own runs say of its sessions: what each counts for, summing to 1. */
export function sessionShares(
  runs: readonly RunEvidence[],
  runIds: ReadonlySet<string>,
): Map<string, number> {
  const own = runs.filter((run) => runIds.has(run.runId))
  const shares = new Map<string, number>()
  for (const run of own) {
    const session = run.session ?? ''
    shares.set(session, (shares.get(session) ?? 0) + 1 / own.length)
  }
  return shares
}

/**
 * By how much the feeds of each session lie above a table's, the surer places counting more; where places disagree by more
 * than runs scatter the shift is less sure.
 */
export function sessionShifts(places: PlaceShifts): SessionShift[] {
  return [...places].map(([session, shifts]) => together(session, shifts))
}

/** The shifts of one session, setting by setting. */
interface SettingShifts {
  readonly session: string
  readonly shifts: readonly SessionShift[]
  /** Variance from setting to setting beyond scatter, a factor and a feed that is lost alike at all settings. */
  readonly placeVariance: number
  /** Mean slowness of the settings. */
  readonly slowness: number
}

/** The shifts of all sessions. */
interface ShiftsBySetting {
  readonly sessions: readonly SettingShifts[]
  /** As `placeVariance` of a session, of any other than those of the table. */
  readonly placeVariance: number
}

/**
 * As `sessionShifts`, each setting by itself, so that slow and fast ones together tell what the day loses of all feeds.
 *
 * Where settings of one day disagree by more than runs scatter, those of any day may: its variance is the mean over the
 * sessions seen, those whose settings agree among them, each counting by how much its settings could show; one check run
 * shows nothing. No session counts as more even than that, for a few settings agree by chance. Sessions of the table are
 * left out: what their settings disagree by is in its marks, and widens their next settings. Measured with
 * `scripts/proofs/days.js --uneven`: without it any day held 56 to 68 of 100 where days move each setting by 3 or 5 %.
 *
 * @param tableShares what each session counts for in the table
 */
export function settingShifts(
  places: PlaceShifts,
  tableShares: ReadonlyMap<string, number>,
): ShiftsBySetting {
  const sessions = [...places].map(([session, shifts]) => {
    const lostIn = (direction: Direction) =>
      shifts.map((shift) => (shift.direction === direction ? shift.slowness : 0))
    const unexplained = beside(
      [shifts.map(() => 1), lostIn(1), lostIn(-1)],
      shifts.map(({ logShift }) => logShift),
      shifts.map(({ variance, tableError }) => variance + tableError ** 2),
    )
    return { session, shifts, unexplained, placeVariance: varianceOf([unexplained]) }
  })
  const ofAnyDay = varianceOf(
    sessions.flatMap(({ session, unexplained }) => (tableShares.has(session) ? [] : [unexplained])),
  )
  return {
    placeVariance: ofAnyDay,
    sessions: sessions.map(({ session, shifts, placeVariance }) => ({
      session,
      placeVariance,
      slowness: mean(shifts.map(({ slowness }) => slowness)),
      shifts: shifts.map(({ place, isOwn, logShift, variance, tableError, direction, slowness }) => ({
        session,
        logShift,
        ownVariance: variance + Math.max(placeVariance, ofAnyDay),
        // The table's own runs lie around its mark, wherever that lies.
        tableErrors: new Map(isOwn ? [] : [[place, tableError]]),
        lost: { direction, slowness },
      })),
    })),
  }
}

/** Shifts of each session at each place of the dial that tells of it, by the session. */
type PlaceShifts = ReadonlyMap<string, readonly PlaceShift[]>

/**
 * By how much the feeds of each session lie above a table's, place by place: the runs' logarithms less the table's at their
 * dials. A setting of the dial counts once, however many runs were made at it. Of the table's own sessions only those marks
 * tell that another of its sessions was at as well.
 *
 * @param tables of both directions of one fit, as stored: they share their sessions
 * @param runs of any session, check runs among them
 * @param runIds of the runs that the tables were made from
 */
export function placeShifts(
  tables: readonly FeedTable[],
  runs: readonly RunEvidence[],
  runIds: ReadonlySet<string>,
): PlaceShifts {
  const places = groupBy(runs, (run) => `${run.direction} ${run.dial}`)
  const bySession = new Map<string, PlaceShift[]>()
  for (const [place, atPlace] of places) {
    const { direction, dial } = atPlace[0]!
    const table = tables.find((one) => one.direction === direction)
    const known = knownAt(table, dial)
    if (table === undefined || known === null) continue
    const slowness = slownessOf(table)(Math.exp(known.logFeed))
    const ownSessions = new Set(
      atPlace.filter((run) => runIds.has(run.runId)).map((run) => run.session ?? ''),
    )
    for (const [session, ofSession] of groupBy(atPlace, (run) => run.session ?? '')) {
      const isOwn = ownSessions.has(session)
      if (isOwn && ownSessions.size === 1) continue
      const shift = { place, direction, slowness, isOwn, ...shiftAt(known, ofSession) }
      bySession.set(session, [...(bySession.get(session) ?? []), shift])
    }
  }
  return bySession
}

/** What a table says of a dial. */
interface KnownFeed {
  readonly logFeed: number
  /** Variance of the logarithm of one new setting on the day of the table, the table's own error left out. */
  readonly settingVariance: number
  readonly meanError: number
}

interface PlaceShift {
  readonly place: string
  readonly direction: Direction
  readonly slowness: number
  readonly isOwn: boolean
  readonly logShift: number
  readonly variance: number
  readonly tableError: number
}

function knownAt(table: FeedTable | undefined, dial: number): KnownFeed | null {
  if (table === undefined) return null
  const point =
    table.marks.find((mark) => mark.dial === dial) ??
    (table.curve.length === 0 ? null : pointAt(table.curve, dial))
  return point === null ? null : knownFeed(point)
}

/** The parts of a stored point's uncertainty; null where it has no band or hardly moves. */
export function knownFeed(point: MarkFit | CurvePoint): KnownFeed | null {
  const { feedMmPerMin: feed, interval95: mean, nextSetting95: next } = point
  if (mean === null || next === null || !(feed > 0 && mean[0] > 0 && next[0] > 0)) return null
  const meanError = Math.log(mean[1] / mean[0]) / (2 * Z95)
  const nextError = Math.log(next[1] / next[0]) / (2 * Z95)
  return {
    logFeed: Math.log(feed),
    settingVariance: Math.max(0, nextError ** 2 - meanError ** 2),
    meanError,
  }
}

function shiftAt(known: KnownFeed, runs: readonly RunEvidence[]) {
  const settings = [...groupBy(runs, (run) => run.setting ?? run.runId).values()]
  const means = settings.map((atSetting) => mean(atSetting.map((run) => Math.log(run.feedMmPerMin))))
  // What runs of one setting have in common is not lessened by their number; a reading's own error is.
  const variances = settings.map(
    (atSetting) =>
      known.settingVariance +
      mean(atSetting.map((run) => (run.standardUncertaintyMmPerMin / run.feedMmPerMin) ** 2)) /
        atSetting.length,
  )
  return {
    logShift: mean(means) - known.logFeed,
    variance: mean(variances) / settings.length,
    tableError: known.meanError,
  }
}

function together(session: string, shifts: readonly PlaceShift[]): SessionShift {
  const variances = shifts.map(({ variance, tableError }) => variance + tableError ** 2)
  const logShifts = shifts.map(({ logShift }) => logShift)
  const placeVariance = varianceOf([beside([shifts.map(() => 1)], logShifts, variances)])
  const weights = inverseVarianceWeights(variances.map((variance) => variance + placeVariance))
  const weighted = (value: (shift: PlaceShift, weight: number) => number) =>
    shifts.reduce((sum, shift, k) => sum + value(shift, weights[k]!), 0)
  return {
    session,
    logShift: weighted(({ logShift }, weight) => weight * logShift),
    ownVariance: weighted(({ variance }, weight) => weight ** 2 * (variance + placeVariance)),
    tableErrors: new Map(
      // The table's own runs lie around its mark, wherever that lies.
      shifts.flatMap(({ place, isOwn, tableError }, k) => (isOwn ? [] : [[place, weights[k]! * tableError]])),
    ),
  }
}

function groupBy<T>(values: readonly T[], keyOf: (value: T) => string): Map<string, T[]> {
  const groups = new Map<string, T[]>()
  for (const value of values) {
    const key = keyOf(value)
    const there = groups.get(key)
    if (there) there.push(value)
    else groups.set(key, [value])
  }
  return groups
}
