import { UsageError } from '../errors/index.js'
import type { Connection } from './file/connection.js'
import { toJson } from './file/stored-values.js'
import type { NewSession, RunSource, Session } from './measurement-types.js'

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

  constructor(connection: Connection) {
    this.#connection = connection
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
    const row = this.#connection.get<SessionRow>('SELECT * FROM session WHERE id = ?', sessionId)
    if (row === undefined) {
      throw new UsageError(
        'unknown-session',
        `There is no session number ${sessionId}.`,
        'Begin one with "tablepace calibrate".',
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
      .all<SessionRow>(
        'SELECT * FROM session WHERE axis_id = ? AND ended_at IS NULL ORDER BY id DESC',
        axisId,
      )
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
    return this.#connection
      .all<{ step: number }>(
        `SELECT DISTINCT recording.step AS step FROM run JOIN recording ON recording.id = run.recording_id
          WHERE recording.session_id = ? AND recording.step IS NOT NULL
            AND run.accepted = 1 AND run.dropped_at IS NULL
          ORDER BY recording.step`,
        sessionId,
      )
      .map((row) => row.step)
  }

  #read(row: SessionRow): Session {
    return {
      id: row.id,
      axisId: row.axis_id,
      procedure: row.procedure,
      plan: this.#connection.json<unknown>(row.plan, `the plan of session ${row.id}`),
      source: row.source,
      startedAt: row.started_at,
      endedAt: row.ended_at,
    }
  }
}
