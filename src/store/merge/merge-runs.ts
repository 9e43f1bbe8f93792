import { CHECKSUM } from '../file/checksum.js'
import type { Connection } from '../file/connection.js'
import type { Places, Row } from './merge-places.js'
import type { MergeReport } from './merge-report.js'

interface RunRow extends Row {
  id: string
  recording_id: string
  ordinal: number
}

/** Where a run comes from; the rest of its row is how it was judged and whether it was dropped. */
const ORIGIN = ['id', 'recording_id', 'ordinal', 'dial', 'rapid', 'created_at', CHECKSUM]

/** Runs not here yet; of those in both stores, the standing that was changed last. */
export function mergeRuns(connection: Connection, places: Places, report: MergeReport): void {
  const runs = connection.all<RunRow & { other_axis: number }>(
    `SELECT run.*, recording.axis_id AS other_axis FROM other.run
      JOIN other.recording ON recording.id = run.recording_id ORDER BY run.id`,
  )
  for (const { other_axis: otherAxis, ...run } of runs) {
    if (!places.axes.has(otherAxis as number)) continue
    const row = run as RunRow
    const here = connection.get<RunRow>('SELECT * FROM main.run WHERE id = ?', row.id)
    if (here === undefined) addRun(connection, row, report)
    else if (standing(here) !== standing(row) && changedLater(connection, row.id)) {
      connection.update('main.run', row.id, Object.fromEntries(standingOf(row)))
      report.changedRuns++
    }
  }
}

function addRun(connection: Connection, run: RunRow, report: MergeReport): void {
  const twin = connection.get<{ id: string }>(
    'SELECT id FROM main.run WHERE recording_id = ? AND ordinal = ?',
    run.recording_id,
    run.ordinal,
  )
  if (twin !== undefined) {
    report.conflicts.push({
      code: 'judged-twice',
      message: `Recording ${run.recording_id} was judged separately in both stores; run ${twin.id} here was kept, ${run.id} was not brought in.`,
    })
    return
  }
  connection.insert('main.run', run)
  report.runs++
}

function standingOf(run: RunRow): [string, Row[string]][] {
  return Object.entries(run).filter(([column]) => !ORIGIN.includes(column)) as [string, Row[string]][]
}

function standing(run: RunRow): string {
  return JSON.stringify(standingOf(run))
}

/** Whether the last change of a run there is later than the last one here. */
function changedLater(connection: Connection, runId: string): boolean {
  const last = (schema: 'main' | 'other') =>
    connection.get<{ last: string | null }>(
      `SELECT max(at) AS last FROM ${schema}.change_log WHERE subject = 'run' AND subject_id = ?`,
      runId,
    )?.last ?? ''
  return last('other') > last('main')
}
