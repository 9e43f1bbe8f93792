import { UsageError } from '../../../errors/index.js'
import {
  newestRecheck,
  openGuidedRecheck,
  type RecheckReport,
  recheckRuns,
  stateOf,
} from '../../../jobs/index.js'
import type { Axis, HistoryEntry, RunSource, Store } from '../../../store/index.js'
import {
  describeChange,
  driftDrawing,
  historyEntryText,
  notRecheckedSentences,
  recheckSentences,
  signedInterval,
  stateSentences,
  verdictSentence,
} from '../../../words/index.js'
import type { HistoryAnswer, RecheckAnswer, VerdictAnswer } from '../../api.js'
import { onPage } from '../../wording.js'
import { inlineSvg } from '../look-up/inline-svg.js'
import type { OpenSession } from './session-desk.js'

/** Entries of the history that are shown. Judgement: years of rechecks. */
const MOST_ENTRIES = 100

/** Begins a guided recheck in one direction, + where it has a table: half the runs tell as much of gibs and gears. @throws DataError as `openGuidedRecheck` does */
export function beginRecheck(
  store: Store,
  axis: Axis,
  asked: { readonly reason: string; readonly withinPercent: number; readonly source: RunSource },
  nowIso: string,
): void {
  openGuidedRecheck(store, axis, { ...asked, directions: null, fresh: false }, nowIso)
}

/**
 * Judges the runs of the recheck so far, keeps the verdict and ends its session.
 *
 * @throws UsageError `no-recheck` where the session is none; DataError as `recheckRuns` does
 */
export function judgeRecheck(
  store: Store,
  axis: Axis,
  { session }: OpenSession,
  withinPercent: number,
  nowIso: string,
): RecheckAnswer {
  if (session.recheck === null) {
    throw new UsageError('no-recheck', 'The session in progress is a calibration.', 'End it at "Measure".')
  }
  const { reason } = session.recheck
  const question = {
    withinPercent,
    reason,
    runIds: session.runIds,
    directions: [1, -1],
    startOver: false,
  } as const
  const report = recheckRuns(store, axis, question, nowIso)
  session.end(nowIso)
  return answerOf(report, session.source)
}

/** The verdict that stands: the newest recheck of the tables in force; null where there is none. */
export function standingVerdict(store: Store, axis: Axis): VerdictAnswer {
  const report = newestRecheck(store, axis)
  if (report === null) return { verdict: null }
  const last = store.runs.get(report.runIds.at(-1) ?? '')
  return { verdict: answerOf(report, last.source) }
}

function answerOf(report: RecheckReport, source: RunSource): RecheckAnswer {
  const { outcome, change, withinPercent, reason } = report
  return {
    verdict: outcome.verdict,
    headline: verdictSentence(report),
    changed: outcome.changed,
    range: outcome.range,
    withinPercent,
    reason,
    source,
    marks: outcome.rechecked.map(({ dial, direction, tableFeed, newFeed }, index) => ({
      dial,
      direction,
      thenMmPerMin: tableFeed.feedMmPerMin,
      nowMmPerMin: newFeed.feedMmPerMin,
      difference: signedInterval(outcome.marks[index]!.percent),
      verdict: outcome.marks[index]!.verdict,
    })),
    sentences: [...recheckSentences(report), ...notRecheckedSentences(report)].map(onPage),
    change: change === null ? null : describeChange(report),
    goOn: outcome.next?.worthwhile === true,
  }
}

/** What was done to an axis and how it stands with its tables. */
export function historyAnswer(store: Store, axis: Axis, nowIso: string): HistoryAnswer {
  const machine = store.machines.byId(axis.machineId)
  const state = stateOf(store, axis, nowIso)
  const points = state.sections.reduce((sum, section) => sum + section.points.length, 0)
  return {
    state: stateSentences(state),
    entries: store.history
      .list(axis.id)
      .reverse()
      .slice(0, MOST_ENTRIES)
      .map((entry) => ({
        at: entry.kind === 'table' ? entry.fittedAt : entry.at,
        text: historyEntryText(isOfMachine(entry) ? null : axis, entry, machine.unit),
      })),
    chart: points < 2 ? null : inlineSvg(driftDrawing(machine, state)),
  }
}

function isOfMachine(entry: HistoryEntry): boolean {
  return entry.kind === 'change' && entry.subject === 'machine'
}
