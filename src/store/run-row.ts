import type { RunFeed } from '../regression/index.js'
import type { Direction, Phases, Warning } from '../traverse/index.js'
import type { Connection } from './file/connection.js'
import { isCount, isText, listOf, objectOf, oneOf, recordOf, type Shape } from './file/shapes.js'
import { finite, finiteOrNull, toJson } from './file/stored-values.js'
import type { Recording, Run, RunJudgement } from './measurement-types.js'

/** Columns of `run` that come from judging the recording. */
interface JudgementRow {
  direction: Direction
  accepted: number
  rejection_code: string | null
  rejection_message: string | null
  feed_mm_per_min: number | null
  feed_u_mm_per_min: number | null
  feed_degrees_of_freedom: number | null
  feed_low_mm_per_min: number | null
  feed_high_mm_per_min: number | null
  ripple_period_mm: number | null
  ripple_amplitude_mm: number | null
  phase_start_s: number | null
  phase_steady_from_s: number | null
  phase_steady_to_s: number | null
  phase_end_s: number | null
  distance_mm: number
  duration_s: number
  coast_mm: number | null
  coast_u_mm: number | null
  samples: string
  warnings: string
  judged_with: string
  window_start_s: number | null
  window_end_s: number | null
  clock: 'host' | 'device' | null
  clock_u_mm_per_min: number | null
}

/** A row of `run`. */
export interface RunRow extends JudgementRow {
  readonly id: string
  readonly recording_id: string
  readonly ordinal: number
  readonly dial: number | null
  readonly rapid: number
  readonly dropped_at: string | null
  readonly drop_reason: string | null
  readonly created_at: string
}

export function judgementColumns(
  judgement: RunJudgement,
): Record<keyof JudgementRow, string | number | null> {
  const { feed, phases, coast, window, rejection, clock } = judgement
  const dof = feed?.degreesOfFreedom ?? null
  return {
    direction: judgement.direction,
    accepted: rejection === null ? 1 : 0,
    rejection_code: rejection?.code ?? null,
    rejection_message: rejection?.message ?? null,
    feed_mm_per_min: finiteOrNull(feed?.feedMmPerMin, 'the feed of a run'),
    feed_u_mm_per_min: finiteOrNull(feed?.standardUncertaintyMmPerMin, 'the uncertainty of a run'),
    feed_degrees_of_freedom:
      dof === Number.POSITIVE_INFINITY ? null : finiteOrNull(dof, 'the degrees of freedom of a run'),
    feed_low_mm_per_min: finiteOrNull(feed?.interval95MmPerMin[0], 'the interval of a run'),
    feed_high_mm_per_min: finiteOrNull(feed?.interval95MmPerMin[1], 'the interval of a run'),
    ripple_period_mm: finiteOrNull(feed?.ripple?.periodMm, 'the ripple period of a run'),
    ripple_amplitude_mm: finiteOrNull(feed?.ripple?.amplitudeMm, 'the ripple of a run'),
    phase_start_s: finiteOrNull(phases?.startS, 'the start of a run'),
    phase_steady_from_s: finiteOrNull(phases?.steadyFromS, 'the steady part of a run'),
    phase_steady_to_s: finiteOrNull(phases?.steadyToS, 'the steady part of a run'),
    phase_end_s: finiteOrNull(phases?.endS, 'the end of a run'),
    distance_mm: finite(judgement.distanceMm, 'the distance of a run'),
    duration_s: finite(judgement.durationS, 'the duration of a run'),
    coast_mm: finiteOrNull(coast?.distanceMm, 'the coast of a run'),
    coast_u_mm: finiteOrNull(coast?.standardUncertaintyMm, 'the uncertainty of a coast'),
    samples: toJson(judgement.samples, 'a count of samples'),
    warnings: toJson(judgement.warnings, 'a warning'),
    judged_with: judgement.judgedWith,
    window_start_s: finiteOrNull(window?.startS, 'the window of a run'),
    window_end_s: finiteOrNull(window?.endS, 'the window of a run'),
    clock: clock?.kind ?? null,
    clock_u_mm_per_min: finiteOrNull(clock?.uncertaintyMmPerMin, 'the clock of a run'),
  }
}

/** A run with what its recording says of it. @throws StoreError `store-damaged` */
export function readRun(connection: Connection, row: RunRow, recording: Recording): Run {
  const json = <T>(text: string, hasShape: Shape<T>) => connection.json(text, `run ${row.id}`, hasShape)
  return {
    id: row.id,
    recordingId: row.recording_id,
    axisId: recording.axisId,
    sessionId: recording.sessionId,
    step: recording.step,
    ordinal: row.ordinal,
    source: recording.source,
    dial: row.dial ?? 'rapid',
    dialReset: recording.dialReset,
    tags: recording.tags,
    note: recording.note,
    sessionName: recording.sessionName,
    check: recording.check,
    accepted: row.accepted === 1,
    droppedAt: row.dropped_at,
    dropReason: row.drop_reason,
    createdAt: row.created_at,
    recordedLiveAt: wasLive(recording) ? recording.startedAt : null,
    direction: row.direction,
    rejection:
      row.rejection_code === null
        ? null
        : { code: row.rejection_code, message: row.rejection_message ?? row.rejection_code },
    feed: readFeed(row),
    phases: readPhases(row),
    distanceMm: row.distance_mm,
    durationS: row.duration_s,
    coast: row.coast_mm === null ? null : { distanceMm: row.coast_mm, standardUncertaintyMm: row.coast_u_mm },
    samples: json(row.samples, areSamples),
    warnings: json(row.warnings, areWarnings),
    judgedWith: row.judged_with,
    window:
      row.window_start_s === null || row.window_end_s === null
        ? null
        : { startS: row.window_start_s, endS: row.window_end_s },
    clock: row.clock === null ? null : { kind: row.clock, uncertaintyMmPerMin: row.clock_u_mm_per_min ?? 0 },
  }
}

const areSamples = objectOf<RunJudgement['samples']>({
  read: isCount,
  used: isCount,
  rejected: recordOf(isCount),
})
const areWarnings = listOf(objectOf<Warning>({ code: isText, message: isText }))
const hasLiveWriter = objectOf<{ writer: { kind: 'live' } }>({ writer: objectOf({ kind: oneOf('live') }) })

/** Whether a recording was made while it was being stored. */
function wasLive({ source, origin, readout }: Recording): boolean {
  return (source === 'stopwatch' && origin === 'keyboard') || hasLiveWriter(readout)
}

function readFeed(row: JudgementRow): RunFeed | null {
  const { feed_mm_per_min: feed, feed_u_mm_per_min: u, feed_low_mm_per_min: low } = row
  const high = row.feed_high_mm_per_min
  if (feed === null || u === null || low === null || high === null) return null
  const period = row.ripple_period_mm
  const amplitude = row.ripple_amplitude_mm
  return {
    feedMmPerMin: feed,
    standardUncertaintyMmPerMin: u,
    degreesOfFreedom: row.feed_degrees_of_freedom ?? Number.POSITIVE_INFINITY,
    interval95MmPerMin: [low, high],
    ripple: period === null || amplitude === null ? null : { periodMm: period, amplitudeMm: amplitude },
  }
}

function readPhases(row: JudgementRow): Phases | null {
  const { phase_start_s: startS, phase_steady_from_s: steadyFromS } = row
  const { phase_steady_to_s: steadyToS, phase_end_s: endS } = row
  if (startS === null || steadyFromS === null || steadyToS === null || endS === null) return null
  return { startS, steadyFromS, steadyToS, endS }
}
