import type { Connection } from './file/connection.js'
import { isAnything, isCount, isText, listOf, objectOf, oneOf, type Shape } from './file/shapes.js'
import { finite, toJson } from './file/stored-values.js'
import type { ChangeEntry, HistoryEntry, NewRecheck, Recheck } from './history-types.js'
import type { Tables } from './tables/tables.js'

export const areTables: Shape<Recheck['tables'][number][]> = listOf(
  objectOf<Recheck['tables'][number]>({ direction: oneOf(1, -1), version: isCount }),
)

interface RecheckRow {
  id: number
  axis_id: number
  at: string
  reason: string
  within_percent: number
  verdict: Recheck['verdict']
  result: string
  run_ids: string
  tables: string
}

interface ChangeRow {
  at: string
  subject: ChangeEntry['subject']
  subject_id: string
  action: ChangeEntry['action']
  before: string
  after: string
}

/** What was done to an axis: tables, rechecks with their verdicts, changes to what is known of it. */
export class History {
  readonly #connection: Connection
  readonly #tables: Tables

  constructor(connection: Connection, tables: Tables) {
    this.#connection = connection
    this.#tables = tables
  }

  /** Keeps a recheck and its verdict. */
  addRecheck(recheck: NewRecheck): Recheck {
    return this.#connection.write(() => {
      const id = this.#connection.insert('recheck', {
        axis_id: recheck.axisId,
        at: recheck.at,
        reason: recheck.reason,
        within_percent: finite(recheck.withinPercent, 'the tolerance of a recheck'),
        verdict: recheck.verdict,
        result: toJson(recheck.result, 'a number of a recheck'),
        run_ids: toJson(recheck.runIds, 'a run id'),
        tables: toJson(recheck.tables, 'a table version'),
      })
      return { ...recheck, id }
    })
  }

  /** Rechecks of an axis, oldest first. */
  rechecks(axisId: number): Recheck[] {
    this.#connection.refuseDisorder('recheck')
    return this.#connection
      .rows<RecheckRow>('recheck', 'WHERE axis_id = ? ORDER BY id', axisId)
      .map((row) => this.#readRecheck(row))
  }

  /** Tables, rechecks and changes of one axis, its machine and its runs, oldest first. */
  list(axisId: number): HistoryEntry[] {
    const entries: HistoryEntry[] = [
      ...this.#changes(axisId).map((change) => ({ kind: 'change' as const, ...change })),
      ...this.#tables.list(axisId).map((table) => ({ kind: 'table' as const, ...table })),
      ...this.rechecks(axisId).map((recheck) => ({ kind: 'recheck' as const, ...recheck })),
    ]
    return entries.sort((a, b) => timeOf(a).localeCompare(timeOf(b)))
  }

  #changes(axisId: number): ChangeEntry[] {
    this.#connection.refuseDisorder('change_log')
    return this.#connection
      .rows<ChangeRow>(
        'change_log',
        `WHERE (subject = 'axis' AND subject_id = ?)
          OR (subject = 'machine' AND subject_id = (SELECT CAST(machine_id AS TEXT) FROM axis WHERE id = ?))
          OR (subject = 'run' AND subject_id IN (
            SELECT run.id FROM run JOIN recording ON recording.id = run.recording_id WHERE recording.axis_id = ?))
          ORDER BY id`,
        String(axisId),
        axisId,
        axisId,
      )
      .map((row) => ({
        at: row.at,
        subject: row.subject,
        subjectId: row.subject_id,
        action: row.action,
        before: this.#connection.json(row.before, 'the change log', isAnything),
        after: this.#connection.json(row.after, 'the change log', isAnything),
      }))
  }

  #readRecheck(row: RecheckRow): Recheck {
    const json = <T>(text: string, hasShape: Shape<T>) =>
      this.#connection.json(text, `recheck ${row.id}`, hasShape)
    return {
      id: row.id,
      axisId: row.axis_id,
      at: row.at,
      reason: row.reason,
      withinPercent: row.within_percent,
      verdict: row.verdict,
      result: json(row.result, isAnything),
      runIds: json(row.run_ids, listOf(isText)),
      tables: json(row.tables, areTables),
    }
  }
}

function timeOf(entry: HistoryEntry): string {
  return entry.kind === 'table' ? entry.fittedAt : entry.at
}
