import type { SessionState } from '../../api.js'
import { Finish } from './finish.js'

/** The end of a session: it never ends by itself, so that nothing is closed that a person may still want to add to. */
export function SessionDone({ session }: { session: SessionState }) {
  const { steps } = session
  const done = steps.filter((step) => step.done).length
  return (
    <div class="card">
      <p class="strong">
        {done === steps.length
          ? 'All runs of this session are done.'
          : `${done} of ${steps.length} runs are done; the others were skipped.`}
      </p>
      {done > 0 && <Finish session={session} />}
    </div>
  )
}
