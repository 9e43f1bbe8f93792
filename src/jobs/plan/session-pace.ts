import type { Setting } from '../../planning/good-enough/index.js'
import {
  minutesOf,
  type Procedure,
  type SessionPace,
  sessionTimeS,
  wantedTravel,
} from '../../planning/index.js'
import { type Axis, isCounting, type Run, type Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'

/** What a setting is likely to feed, mm/min, by the runs and tables of an axis; null where nothing tells. */
type LikelyFeed = (dial: number, direction: Direction) => number | null

/** Reads once what a whole plan is reckoned with. */
export function likelyFeeds(store: Store, axis: Axis): LikelyFeed {
  const runs = store.runs.list(axis.id).filter(isCounting)
  const tables = ([1, -1] as const).map((direction) => store.tables.inForce(axis.id, direction))
  return (dial, direction) => {
    const own = runs.filter((run) => run.dial === dial)
    const run = own.findLast((one) => one.direction === direction) ?? own.at(-1)
    if (run?.feed) return run.feed.feedMmPerMin
    const table = tables.find((one) => one?.direction === direction) ?? tables.find((one) => one !== null)
    const points = table?.curve.length ? table.curve : (table?.marks ?? [])
    return between(points, dial) ?? between(runPoints(runs, direction), dial)
  }
}

interface FeedPoint {
  readonly dial: number
  readonly feedMmPerMin: number
}

/** Straight between the neighbours of a dial; null past the ends. */
function between(points: readonly FeedPoint[], dial: number): number | null {
  const above = points.find((point) => point.dial >= dial)
  const below = points.findLast((point) => point.dial <= dial)
  if (above === undefined || below === undefined) return null
  const share = above.dial === below.dial ? 0 : (dial - below.dial) / (above.dial - below.dial)
  return below.feedMmPerMin + share * (above.feedMmPerMin - below.feedMmPerMin)
}

/** Rising by dial. */
function runPoints(runs: readonly Run[], direction: Direction): FeedPoint[] {
  return runs
    .flatMap((run) =>
      run.direction === direction && run.dial !== 'rapid' && run.feed !== null
        ? [{ dial: run.dial, feedMmPerMin: run.feed.feedMmPerMin }]
        : [],
    )
    .sort((a, b) => a.dial - b.dial)
}

/** Minutes that runs take one after the other, made as a procedure asks. */
export function minutesAt(
  store: Store,
  axis: Axis,
  settings: readonly Setting[],
  procedure: Procedure,
): number {
  const feedAt = likelyFeeds(store, axis)
  const runs = settings.map(({ dial, direction }) => ({ direction, feedMmPerMin: feedAt(dial, direction) }))
  return minutesOf(sessionTimeS(runs, sessionPace(store, axis, procedure)))
}

/** How the runs of a procedure go on this axis; the newest rapid traverse tells how fast the way back is. */
function sessionPace(store: Store, axis: Axis, procedure: Procedure): SessionPace {
  const rapid = store.runs.list(axis.id, { dial: 'rapid' }).findLast(isCounting)
  const { source, restS } = procedure
  return {
    source,
    restS,
    wanted: wantedTravel(procedure, axis),
    rapidFeedMmPerMin: rapid?.feed?.feedMmPerMin ?? null,
  }
}
