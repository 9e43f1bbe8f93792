import type { SessionState } from '../../api.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Notice } from '../parts/notice.js'
import { useAction } from '../parts/use-action.js'

/** What is made from the runs of a session: a table, or the verdict of a recheck. */
export function Finish({ session }: { session: SessionState }) {
  return session.recheck === null ? <FitButton /> : <JudgeButton recheck={session.recheck} />
}

/** Makes the table from all runs that count. */
export function FitButton() {
  const { axis } = usePage()
  return (
    <FinishButton
      name="Make the table from these runs"
      working="Making it …"
      finish={() => tell('fit', { axisId: axis.id })}
      leadsTo="#/look-up"
    />
  )
}

/** Judges the runs of the recheck so far, and goes to the verdict. */
function JudgeButton({ recheck: { withinPercent } }: { recheck: NonNullable<SessionState['recheck']> }) {
  const { axis } = usePage()
  return (
    <FinishButton
      name={`Judge these runs within ${withinPercent} %`}
      working="Judging …"
      finish={() => tell('recheck/judge', { axisId: axis.id, withinPercent })}
      leadsTo="#/check"
    />
  )
}

function FinishButton({
  name,
  working,
  finish,
  leadsTo,
}: {
  name: string
  /** Stands on it meanwhile. */
  working: string
  finish: () => Promise<unknown>
  /** Address of what was made. */
  leadsTo: string
}) {
  const { refresh } = usePage()
  const { busy, trouble, run } = useAction()
  const act = async (): Promise<void> => {
    const done = await run(async () => {
      await finish()
      await refresh()
    })
    if (done) location.hash = leadsTo
  }
  return (
    <>
      <div class="buttons">
        <button type="button" class="main" disabled={busy} onClick={act}>
          {busy ? working : name}
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </>
  )
}
