import type { RunFeed } from '../regression/index.js'
import type { Direction, Phases, Warning } from '../traverse/index.js'
import type { Connection } from './file/connection.js'
import { finite, finiteOrNull, toJson } from './file/stored-values.js'
import type { Run, RunJudgement, RunSource } from './measurement-types.js'

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

/** A row of `run` beside what its recording says. */
export interface RunRow extends JudgementRow {
  id: string
  recording_id: string
  ordinal: number
  dial: number | null
  rapid: number
  dropped_at: string | null
  drop_reason: string | null
  created_at: string
  axis_id: number
  session_id: number | null
  step: number | null
  source: RunSource
  dial_reset: number
  tags: string
  note: string | null
  recorded_live_at: string | null
}

/** Selects `RunRow`s; continue with WHERE and ORDER BY. */
export const SELECT_RUNS = `SELECT run.*, recording.axis_id, recording.session_id, recording.step, recording.source,
  recording.dial_reset, recording.tags, recording.note,
  CASE WHEN (recording.source = 'stopwatch' AND recording.origin = 'keyboard') OR recording.readout ->> '$.writer.kind' = 'live'
    THEN recording.started_at END AS recorded_live_at
  FROM run JOIN recording ON recording.id = run.recording_id`

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

export function readRun(connection: Connection, row: RunRow): Run {
  const json = <T>(text: string) => connection.json<T>(text, `run ${row.id}`)
  return {
    id: row.id,
    recordingId: row.recording_id,
    axisId: row.axis_id,
    sessionId: row.session_id,
    step: row.step,
    ordinal: row.ordinal,
    source: row.source,
    dial: row.dial ?? 'rapid',
    dialReset: row.dial_reset === 1,
    tags: json<Record<string, string>>(row.tags),
    note: row.note,
    accepted: row.accepted === 1,
    droppedAt: row.dropped_at,
    dropReason: row.drop_reason,
    createdAt: row.created_at,
    recordedLiveAt: row.recorded_live_at,
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
    samples: json<RunJudgement['samples']>(row.samples),
    warnings: json<Warning[]>(row.warnings),
    judgedWith: row.judged_with,
    window:
      row.window_start_s === null || row.window_end_s === null
        ? null
        : { startS: row.window_start_s, endS: row.window_end_s },
    clock: row.clock === null ? null : { kind: row.clock, uncertaintyMmPerMin: row.clock_u_mm_per_min ?? 0 },
  }
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
