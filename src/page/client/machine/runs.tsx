import { useState } from 'preact/hooks'
import { formatDial, formatLength } from '../../../units/index.js'
import type { PageRun } from '../../api.js'
import type { DrawingAnswer } from '../../machine-api.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Choice } from '../parts/choice.js'
import { Notice } from '../parts/notice.js'
import { TextField } from '../parts/text-field.js'
import { useAction } from '../parts/use-action.js'
import { useAnswer } from '../parts/use-answer.js'
import { wayShown, waySpoken } from '../parts/way-words.js'
import { feedWords, standing, when, withinWords } from '../parts/words.js'
import { Picture } from './picture.js'

type Shown = 'all' | 'counting' | 'not-counting'

/** Every run of the axis: what it gave, whether it counts and why not, its picture; leave out and put back. */
export function Runs() {
  const { data, axis } = usePage()
  const [shown, setShown] = useState<Shown>('all')
  const runs = data.runs.filter((run) => shown === 'all' || counts(run) === (shown === 'counting'))
  return (
    <section>
      <h1>Runs of {axis.name}</h1>
      <Choice
        legend="Which runs"
        name="runs-shown"
        value={shown}
        options={[
          { value: 'all', label: `all ${data.runs.length}` },
          { value: 'counting', label: 'those that count' },
          { value: 'not-counting', label: 'the others' },
        ]}
        onChange={setShown}
      />
      {runs.length === 0 ? <p>No runs here yet.</p> : null}
      <ul class="all-runs">
        {runs.map((run) => (
          <RunItem key={run.id} run={run} />
        ))}
      </ul>
    </section>
  )
}

function counts(run: PageRun): boolean {
  return run.droppedAt === null && run.rejection === null && run.beforeMove !== true
}

function RunItem({ run }: { run: PageRun }) {
  const { axis, unit } = usePage()
  const [isDrawn, setDrawn] = useState(false)
  const name = `the run at dial ${formatDial(run.dial, axis)} ${waySpoken(axis, run.direction)} of ${when(run.createdAt)}`
  const tags = Object.entries(run.tags).map(([key, value]) => `${key}: ${value}`)
  return (
    <li>
      <p class="head">
        <strong>
          {formatDial(run.dial, axis)} {wayShown(axis, run.direction)}
        </strong>{' '}
        <span class="unseen">direction {waySpoken(axis, run.direction)}</span>
        {run.feedMmPerMin === null
          ? 'no feed'
          : `${feedWords(run.feedMmPerMin, run.interval95, unit)} (${withinWords(run.feedMmPerMin, run.interval95)})`}
      </p>
      <p>{standing(run)}</p>
      {run.warnings.map((warning) => (
        <p key={warning}>{warning}</p>
      ))}
      <p class="quiet">
        {run.durationS.toFixed(1)} s for {formatLength(run.distanceMm, unit)} by {run.source},{' '}
        {when(run.createdAt)}
        {tags.length > 0 && ` · ${tags.join(', ')}`}
        {run.note !== null && ` · ${run.note}`}
      </p>
      <div class="buttons">
        {run.source === 'readout' && (
          <button
            type="button"
            class="small"
            aria-expanded={isDrawn}
            aria-label={`Picture of ${name}`}
            onClick={() => setDrawn(!isDrawn)}
          >
            Picture
          </button>
        )}
        {run.rejection === null && <LeaveOut run={run} name={name} />}
      </div>
      {isDrawn && <RunPicture run={run} name={name} />}
    </li>
  )
}

function RunPicture({ run, name }: { run: PageRun; name: string }) {
  const { axis, unit } = usePage()
  const { answer, trouble } = useAnswer<DrawingAnswer>(
    `run/picture?id=${axis.id}&run=${encodeURIComponent(run.id)}&unit=${unit}`,
  )
  if (trouble !== null) return <Notice kind="trouble">{trouble}</Notice>
  return answer === null ? <p>Drawing …</p> : <Picture svg={answer.svg} name={`Picture of ${name}`} />
}

/** Leaves a run out of later tables, with the reason, or puts it back; nothing is ever deleted. */
function LeaveOut({ run, name }: { run: PageRun; name: string }) {
  const { refresh } = usePage()
  const [reason, setReason] = useState<string | null>(null)
  const { busy, trouble, run: act } = useAction()
  const change = (work: () => Promise<unknown>): Promise<boolean> =>
    act(async () => {
      await work()
      setReason(null)
      await refresh()
    })
  const problem = trouble !== null && <Notice kind="trouble">{trouble}</Notice>
  if (run.droppedAt !== null) {
    return (
      <>
        <button
          type="button"
          class="small"
          disabled={busy}
          aria-label={`Put back ${name}`}
          onClick={() => change(() => tell('run/keep', { runId: run.id }))}
        >
          Put back
        </button>
        {problem}
      </>
    )
  }
  if (reason === null) {
    return (
      <button type="button" class="small" aria-label={`Leave out ${name}`} onClick={() => setReason('')}>
        Leave out
      </button>
    )
  }
  return (
    <form
      class="why"
      onSubmit={(event) => {
        event.preventDefault()
        void change(() => tell('run/drop', { runId: run.id, reason }))
      }}
    >
      <TextField label="Why" value={reason} onText={setReason} hint="kept with the run" />
      <div class="buttons">
        <button type="submit" class="small" disabled={busy || reason.trim() === ''}>
          Leave out
        </button>
        <button type="button" class="small" onClick={() => setReason(null)}>
          Cancel
        </button>
      </div>
      {problem}
    </form>
  )
}
