import type { ImportedTable, ImportOutcome } from '../jobs/exchange/import-file.js'
import type { MergeReport } from '../store/index.js'
import { directionSign } from '../units/index.js'

/** What was brought in, and what was not; a sentence each. */
export function importSentences(outcome: ImportOutcome): string[] {
  return outcome.kind === 'store' ? mergeSentences(outcome.report) : outcome.tables.map(tableSentence)
}

function tableSentence({ machine, axis, direction, version, added, inForce }: ImportedTable): string {
  const name = `${machine} ${axis}, direction ${directionSign(direction)}`
  const force = inForce ? 'it is in force' : 'a later one is in force'
  return added
    ? `${name}: brought in as version ${version}; ${force}`
    : `${name}: already here as version ${version}; ${force}`
}

function mergeSentences(report: MergeReport): string[] {
  const counts = [
    [report.machines, 'machine'],
    [report.axes, 'axis', 'axes'],
    [report.recordings, 'recording'],
    [report.runs, 'run'],
    [report.tables, 'table'],
    [report.rechecks, 'recheck'],
    [report.practices, 'timing test', 'timing tests'],
    [report.cutNotes, 'note on a cut', 'notes on cuts'],
  ] as const
  const taken = counts
    .filter(([count]) => count > 0)
    .map(([count, one, many]) => `${count} ${count === 1 ? one : (many ?? `${one}s`)}`)
  return [
    taken.length === 0 ? 'Nothing new: everything in it is already here.' : `Brought in ${taken.join(', ')}.`,
    ...(report.lengthenedRecordings > 0
      ? [`Brought ${report.lengthenedRecordings} shorter recordings to their full length.`]
      : []),
    ...(report.changedRuns > 0
      ? [
          `${report.changedRuns} runs were left out, put back or judged again more recently there; that counts now.`,
        ]
      : []),
    ...report.conflicts.map(({ message }) => `Differs: ${message}`),
  ]
}
