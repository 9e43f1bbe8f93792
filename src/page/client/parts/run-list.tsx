import { formatDial, formatLength, type LengthUnit } from '../../../units/index.js'
import type { PageRun, TakeAnswer } from '../../api.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Notice } from './notice.js'
import { useAction } from './use-action.js'
import { wayShown, waySpoken } from './way-words.js'
import { feedWords, standing, when, withinWords } from './words.js'

/** What the latest recording came to, as soon as it ended. */
export function TakeResult({ take }: { take: TakeAnswer }) {
  const { axis, unit, data } = usePage()
  // Kept or left out since: the list knows.
  const runs = take.runs.map((run) => data.runs.find((one) => one.id === run.id) ?? run)
  return (
    <div class="take" role="status">
      {take.problem !== null && <Notice kind="trouble">{take.problem}</Notice>}
      {take.note !== null && <Notice kind="note">{take.note}</Notice>}
      {runs
        .filter((run) => run.rejection === null && run.feedMmPerMin !== null)
        .map((run) => (
          <div class="result" key={run.id}>
            <p class="strong">
              Dial {formatDial(run.dial, axis)} {wayShown(axis, run.direction)}:{' '}
              {feedWords(run.feedMmPerMin ?? 0, run.interval95, unit)}
            </p>
            <p>
              {withinWords(run.feedMmPerMin ?? 0, run.interval95)} for this run (95 %),{' '}
              {run.durationS.toFixed(1)} s for {formatLength(run.distanceMm, unit)}
            </p>
            {(run.droppedAt === null ? run.warnings : [standing(run)]).map((sentence) => (
              <p key={sentence}>{sentence}</p>
            ))}
            <LeaveOut run={run} />
          </div>
        ))}
    </div>
  )
}

/** The latest runs, left out and refused ones included: nothing is ever deleted. */
export function RunList({ most }: { most: number }) {
  const { data, unit } = usePage()
  if (data.runs.length === 0) return <p>No runs yet.</p>
  return (
    <ul class="runs">
      {data.runs.slice(0, most).map((run) => (
        <RunLine key={run.id} run={run} unit={unit} />
      ))}
    </ul>
  )
}

function RunLine({ run, unit }: { run: PageRun; unit: LengthUnit }) {
  const { axis } = usePage()
  return (
    <li class={run.droppedAt !== null || run.rejection !== null ? 'out' : ''}>
      <span class="what">
        {formatDial(run.dial, axis)} {wayShown(axis, run.direction)}
        <span class="unseen">direction {waySpoken(axis, run.direction)}</span>
      </span>
      <span class="feed">
        {run.feedMmPerMin === null ? (
          '–'
        ) : (
          <>
            {feedWords(run.feedMmPerMin, run.interval95, unit)}{' '}
            <small>{withinWords(run.feedMmPerMin, run.interval95)}</small>
          </>
        )}
      </span>
      <span class="status">
        {standing(run)}
        <small>
          {' '}
          · {run.source}, {when(run.createdAt)}
        </small>
      </span>
      {run.rejection === null && <LeaveOut run={run} />}
    </li>
  )
}

function LeaveOut({ run }: { run: PageRun }) {
  const { axis, refresh } = usePage()
  const { busy, trouble, run: act } = useAction()
  const dropped = run.droppedAt !== null
  const change = (reason = 'by hand, on the page'): Promise<boolean> =>
    act(async () => {
      if (dropped) await tell('run/keep', { runId: run.id })
      else await tell('run/drop', { runId: run.id, reason })
      await refresh()
    })
  const name = `the run at dial ${formatDial(run.dial, axis)} ${waySpoken(axis, run.direction)} of ${when(run.createdAt)}`
  return (
    <>
      <button
        type="button"
        class="small"
        disabled={busy}
        aria-label={`${dropped ? 'Put back' : 'Leave out'} ${name}`}
        onClick={() => change()}
      >
        {dropped ? 'Put back' : 'Leave out'}
      </button>
      {run.odd && !dropped && (
        <button
          type="button"
          class="small"
          disabled={busy}
          aria-label={`Make it again: ${name}`}
          // In a session the step of a run that is left out comes again by itself.
          onClick={() => change('odd; to be made again')}
        >
          Make it again
        </button>
      )}
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </>
  )
}
