import { sentence, UsageError, way } from '../errors/index.js'
import { isCounting } from './counting-run.js'
import type { Connection } from './file/connection.js'
import { isAnything } from './file/shapes.js'
import { toJson } from './file/stored-values.js'
import type { NewSession, RunSource, Session } from './measurement-types.js'
import type { Recordings } from './recordings.js'
import type { Runs } from './runs.js'

interface SessionRow {
  id: number
  axis_id: number
  procedure: string
  plan: string
  source: RunSource
  started_at: string
  ended_at: string | null
}

/** Guided calibrations. What is done of one follows from its runs, so that a stop at any moment loses nothing. */
export class Sessions {
  readonly #connection: Connection
  readonly #recordings: Recordings
  readonly #runs: Runs

  constructor(connection: Connection, recordings: Recordings, runs: Runs) {
    this.#connection = connection
    this.#recordings = recordings
    this.#runs = runs
  }

  start(session: NewSession): Session {
    return this.#connection.write(() => {
      const id = this.#connection.insert('session', {
        axis_id: session.axisId,
        procedure: session.procedure,
        plan: toJson(session.plan, 'a number of the session plan'),
        source: session.source,
        started_at: session.startedAt,
      })
      return this.get(id)
    })
  }

  /** @throws UsageError `unknown-session` */
  get(sessionId: number): Session {
    const row = this.#connection.row<SessionRow>('session', 'WHERE id = ?', sessionId)
    if (row === undefined) {
      throw new UsageError(
        'unknown-session',
        `There is no session number ${sessionId}.`,
        sentence`Begin one${way('calibrate')}.`,
      )
    }
    return this.#read(row)
  }

  /** The newest session of this axis that was not ended, or null. */
  inProgress(axisId: number): Session | null {
    return this.allInProgress(axisId)[0] ?? null
  }

  /** Sessions of this axis that were not ended, newest first. */
  allInProgress(axisId: number): Session[] {
    return this.#connection
      .rows<SessionRow>('session', 'WHERE axis_id = ? ORDER BY id DESC', axisId)
      .filter((row) => row.ended_at === null)
      .map((row) => this.#read(row))
  }

  /** Says that the session is over, finished or given up. */
  end(sessionId: number, nowIso: string): void {
    this.#connection.write(() => {
      this.get(sessionId)
      this.#connection.update('session', sessionId, { ended_at: nowIso })
    })
  }

  /** Steps of the plan with at least one run that is accepted and not dropped, rising. */
  doneSteps(sessionId: number): number[] {
    const steps = this.#recordings.ofSession(sessionId).flatMap(({ id, step }) => {
      const done = this.#runs.ofRecording(id).some(isCounting)
      return step !== null && done ? [step] : []
    })
    return [...new Set(steps)].sort((a, b) => a - b)
  }

  #read(row: SessionRow): Session {
    return {
      id: row.id,
      axisId: row.axis_id,
      procedure: row.procedure,
      plan: this.#connection.json(row.plan, `the plan of session ${row.id}`, isAnything),
      source: row.source,
      startedAt: row.started_at,
      endedAt: row.ended_at,
    }
  }
}
