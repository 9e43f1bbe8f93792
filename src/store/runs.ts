import { sentence, UsageError, way } from '../errors/index.js'
import { sortEvidence } from './evidence.js'
import { logChange } from './file/change-log.js'
import type { Connection } from './file/connection.js'
import { newId } from './file/new-id.js'
import type { SqlValue } from './file/statements.js'
import { dialColumns } from './file/stored-values.js'
import { refuseMissing } from './file/tallies.js'
import type { ChangeEntry } from './history-types.js'
import type { AxisRow } from './machines/axis-row.js'
import type { DialSetting, Evidence, Run, RunFilter, RunJudgement } from './measurement-types.js'
import type { Recordings } from './recordings.js'
import { isCutting } from './run-load.js'
import { judgementColumns, type RunRow, readRun } from './run-row.js'

/** What was concluded from the recordings: one run a traverse. Runs are never deleted. */
export class Runs {
  readonly #connection: Connection
  readonly #recordings: Recordings

  constructor(connection: Connection, recordings: Recordings) {
    this.#connection = connection
    this.#recordings = recordings
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

  /** @throws UsageError `unknown-run`; StoreError `store-damaged`, also where a damaged index may hide the run */
  get(runId: string): Run {
    const row = this.#connection.row<RunRow>('run', 'WHERE id = ?', runId)
    if (row === undefined) {
      this.#connection.refuseDisorder('run')
      throw new UsageError(
        'unknown-run',
        `There is no run ${runId} in the store.`,
        sentence`List the runs${way('list-runs')} and use an id from there.`,
      )
    }
    return readRun(this.#connection, row, this.#recordings.get(row.recording_id))
  }

  /**
   * The run that is named by its id, or by a beginning or an end of it that no other run has; four letters or more.
   * @throws UsageError `unknown-run`; `which-run` where several runs have it
   */
  find(named: string): Run {
    const part = named.toUpperCase()
    if (!/^[0-9A-Z]{4,25}$/.test(part)) return this.get(part.length === 26 ? part : named)
    const found = this.#connection.all<{ id: string }>(
      "SELECT id FROM run WHERE id LIKE ? || '%' OR id LIKE '%' || ? ORDER BY id",
      part,
      part,
    )
    if (found.length > 1) {
      throw new UsageError(
        'which-run',
        `There are ${found.length} runs whose id begins or ends with ${named}.`,
        `Write more of it: ${found
          .slice(0, 3)
          .map(({ id }) => id)
          .join(', ')}${found.length > 3 ? ' …' : ''}.`,
      )
    }
    return this.get(found[0]?.id ?? named)
  }

  /**
   * Runs of an axis in the order they were made, dropped and rejected ones included.
   * @throws StoreError `store-damaged` where one of the axis, asked for or not, is damaged or missing
   */
  list(axisId: number, filter: RunFilter = {}): Run[] {
    return this.#connection.read(() => this.#all(axisId)).filter(passes(filter))
  }

  #all(axisId: number): Run[] {
    const recordings = new Map(this.#recordings.list(axisId).map((recording) => [recording.id, recording]))
    const rows = this.#connection.all<RunRow>(
      `SELECT run.* FROM run JOIN recording ON recording.id = run.recording_id
        WHERE recording.axis_id = ? ORDER BY run.id`,
      axisId,
    )
    this.#connection.refuseAstray('run', rows, {})
    const runs = rows.map((row) => {
      this.#connection.refuseChanged('run', row)
      const recording = recordings.get(row.recording_id)
      if (recording === undefined) throw this.#connection.damaged(`recording ${row.recording_id}`)
      return readRun(this.#connection, row, recording)
    })
    refuseMissing(this.#connection, axisId, 'runs', runs.length)
    return runs
  }

  /** Runs of one recording in order. @throws StoreError `store-damaged` */
  ofRecording(recordingId: string): Run[] {
    const recording = this.#recordings.get(recordingId)
    return this.#connection
      .rows<RunRow>('run', 'WHERE recording_id = ? ORDER BY ordinal', recordingId)
      .map((row) => readRun(this.#connection, row, recording))
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
    const axis = this.#connection.row<AxisRow>('axis', 'WHERE id = ?', axisId)
    if (axis === undefined) return { evidence: [], leftOut: [] }
    const named =
      filter.runIds !== undefined || (filter.tags !== undefined && isCutting({ tags: filter.tags }))
    return sortEvidence(
      this.list(axisId, filter),
      { low: axis.dial_min, high: axis.dial_max, lettered: axis.lettered === 1 },
      named ? 'use' : 'leave-out',
    )
  }

  /** The runs of the rapid traverse that tell its feed, at 0 in the place of a setting: it has none. */
  rapidEvidence(axisId: number): Evidence {
    const runs = this.list(axisId, { dial: 'rapid' }).map((run) => ({ ...run, dial: 0 }))
    return sortEvidence(runs, { low: 0, high: 0 }, 'leave-out')
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

/** Whether a run is asked for. Not asked of SQLite: a damaged run would only be left out. */
function passes(filter: RunFilter): (run: Run) => boolean {
  const { direction, source, dial, sessionId, since, until, tags } = filter
  const runIds = filter.runIds === undefined ? null : new Set(filter.runIds)
  return (run) =>
    (direction === undefined || run.direction === direction) &&
    (source === undefined || run.source === source) &&
    (dial === undefined || run.dial === dial) &&
    (sessionId === undefined || run.sessionId === sessionId) &&
    (since === undefined || run.createdAt >= since) &&
    (until === undefined || run.createdAt <= until) &&
    (runIds === null || runIds.has(run.id)) &&
    Object.entries(tags ?? {}).every(([key, value]) => run.tags[key] === value)
}
