import { UsageError } from '../errors/index.js'
import { sortEvidence } from './evidence.js'
import { logChange } from './file/change-log.js'
import type { Connection, SqlValue } from './file/connection.js'
import { newId } from './file/new-id.js'
import { dialColumns } from './file/stored-values.js'
import type { ChangeEntry } from './history-types.js'
import type { DialSetting, Evidence, Run, RunFilter, RunJudgement } from './measurement-types.js'
import { isCutting } from './run-load.js'
import { judgementColumns, type RunRow, readRun, SELECT_RUNS } from './run-row.js'

/** What was concluded from the recordings: one run a traverse. Runs are never deleted. */
export class Runs {
  readonly #connection: Connection

  constructor(connection: Connection) {
    this.#connection = connection
  }

  /** Keeps the runs found in a recording, in order; axis, source, dial reset, tags and note are the recording's. */
  add(recordingId: string, dial: DialSetting, judgements: readonly RunJudgement[], nowIso: string): Run[] {
    return this.#connection.write(() => {
      const first = this.ofRecording(recordingId).length
      return judgements.map((judgement, index) => {
        const id = newId(nowIso)
        this.#connection.insert('run', {
          id,
          recording_id: recordingId,
          ordinal: first + index,
          ...dialColumns(dial),
          ...judgementColumns(judgement),
          created_at: nowIso,
        })
        return this.get(id)
      })
    })
  }

  /** @throws UsageError `unknown-run` */
  get(runId: string): Run {
    const row = this.#connection.get<RunRow>(`${SELECT_RUNS} WHERE run.id = ?`, runId)
    if (row === undefined) {
      throw new UsageError(
        'unknown-run',
        `There is no run ${runId} in the store.`,
        'Use the id that "tablepace traverse" printed.',
      )
    }
    return readRun(this.#connection, row)
  }

  /** Runs of an axis in the order they were made, dropped and rejected ones included. */
  list(axisId: number, filter: RunFilter = {}): Run[] {
    const { where, values } = filterSql(filter)
    return this.#connection
      .all<RunRow>(`${SELECT_RUNS} WHERE recording.axis_id = ?${where} ORDER BY run.id`, axisId, ...values)
      .map((row) => readRun(this.#connection, row))
  }

  /** Runs of one recording in order. */
  ofRecording(recordingId: string): Run[] {
    return this.#connection
      .all<RunRow>(`${SELECT_RUNS} WHERE run.recording_id = ? ORDER BY run.ordinal`, recordingId)
      .map((row) => readRun(this.#connection, row))
  }

  /** Leaves a run out of later fits by the user's wish; `keep` takes it back. @throws UsageError `unknown-run` */
  drop(runId: string, reason: string, nowIso: string): Run {
    return this.#change(runId, 'drop', { dropped_at: nowIso, drop_reason: reason }, nowIso)
  }

  /** Takes a dropped run back. @throws UsageError `unknown-run` */
  keep(runId: string, nowIso: string): Run {
    return this.#change(runId, 'keep', { dropped_at: null, drop_reason: null }, nowIso)
  }

  /**
   * Puts a new judgement of the same raw data in place; the id stays, and the old judgement goes to the change log.
   * Tables that used the run keep their numbers: a version never changes.
   */
  replaceJudgement(runId: string, judgement: RunJudgement, nowIso: string): Run {
    return this.#change(runId, 'judge-again', judgementColumns(judgement), nowIso)
  }

  /**
   * The runs a fit may use, and those it may not with the reason. Runs outside the filter are not mentioned; runs made
   * under cut serve only where the filter names them, by their tag or their ids.
   */
  evidenceFor(axisId: number, filter: RunFilter = {}): Evidence {
    const axis = this.#connection.get<{ dial_min: number; dial_max: number }>(
      'SELECT dial_min, dial_max FROM axis WHERE id = ?',
      axisId,
    )
    if (axis === undefined) return { evidence: [], leftOut: [] }
    const named =
      filter.runIds !== undefined || (filter.tags !== undefined && isCutting({ tags: filter.tags }))
    return sortEvidence(
      this.list(axisId, filter),
      { low: axis.dial_min, high: axis.dial_max },
      named ? 'use' : 'leave-out',
    )
  }

  #change(
    runId: string,
    action: ChangeEntry['action'],
    columns: Readonly<Record<string, SqlValue>>,
    at: string,
  ): Run {
    return this.#connection.write(() => {
      const before = loggable(this.get(runId))
      this.#connection.update('run', runId, columns)
      const run = this.get(runId)
      logChange(this.#connection, {
        at,
        subject: 'run',
        subjectId: runId,
        action,
        before,
        after: loggable(run),
      })
      return run
    })
  }
}

/** The run as JSON can hold it: infinitely many degrees of freedom become null, as in the row. */
function loggable(run: Run): unknown {
  if (run.feed === null || Number.isFinite(run.feed.degreesOfFreedom)) return run
  return { ...run, feed: { ...run.feed, degreesOfFreedom: null } }
}

function filterSql(filter: RunFilter): { where: string; values: SqlValue[] } {
  const conditions: string[] = []
  const values: SqlValue[] = []
  const need = (condition: string, ...given: SqlValue[]) => {
    conditions.push(` AND ${condition}`)
    values.push(...given)
  }
  if (filter.direction !== undefined) need('run.direction = ?', filter.direction)
  if (filter.source !== undefined) need('recording.source = ?', filter.source)
  if (filter.dial === 'rapid') need('run.rapid = 1')
  else if (filter.dial !== undefined) need('run.dial = ?', filter.dial)
  if (filter.sessionId !== undefined) need('recording.session_id = ?', filter.sessionId)
  if (filter.since !== undefined) need('run.created_at >= ?', filter.since)
  if (filter.until !== undefined) need('run.created_at <= ?', filter.until)
  if (filter.runIds !== undefined) {
    need('run.id IN (SELECT value FROM json_each(?))', JSON.stringify(filter.runIds))
  }
  for (const [key, value] of Object.entries(filter.tags ?? {})) {
    need('EXISTS (SELECT 1 FROM json_each(recording.tags) WHERE key = ? AND value = ?)', key, value)
  }
  return { where: conditions.join(''), values }
}
