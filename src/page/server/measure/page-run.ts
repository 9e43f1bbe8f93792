import { dropReasonText, rejectionText, type StepResult, type TakeOutcome } from '../../../jobs/index.js'
import { ODD_RUN } from '../../../regression/index.js'
import { isCounting, type Run } from '../../../store/index.js'
import type { PageRun, TakeAnswer } from '../../api.js'
import { onPage } from '../../wording.js'

/** A stored run as the page shows it. */
export function pageRun(run: Run): PageRun {
  const { id, dial, direction, source, createdAt, distanceMm, durationS, phases, droppedAt, dropReason } = run
  const { tags, note, check } = run
  return {
    ...{ id, dial, direction, source, createdAt, distanceMm, durationS, phases, droppedAt, dropReason },
    ...{ tags, note, check },
    feedMmPerMin: run.feed?.feedMmPerMin ?? null,
    interval95: run.feed?.interval95MmPerMin ?? null,
    rejection: run.rejection?.message ?? null,
    warnings: run.warnings.map((warning) => warning.message),
    odd: run.warnings.some((warning) => warning.code === ODD_RUN),
  }
}

/** What came of a recording for a step of the session. */
export function stepAnswer({ dial, runs }: TakeOutcome<Run>, { problem }: StepResult): TakeAnswer {
  return { dial, runs: runs.map(pageRun), problem: problem === null ? null : onPage(problem), note: null }
}

/** What came of a recording outside a session; a table that never moved is a problem too. */
export function takeAnswer(outcome: TakeOutcome<Run>): TakeAnswer {
  const { dial, runs, failure } = outcome
  const problem = runs.some(isCounting)
    ? null
    : failure !== null
      ? onPage(failure.inFull)
      : runs[0]?.rejection
        ? rejectionText(runs[0].rejection)
        : runs[0]?.dropReason
          ? dropReasonText(runs[0].dropReason)
          : 'The table did not move.'
  return { dial, runs: runs.map(pageRun), problem, note: null }
}
