import type { SessionState } from '../../api.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Notice } from './notice.js'
import { useAction } from './use-action.js'

/** Judges the runs of the recheck so far, and goes to the verdict. */
export function JudgeButton({ recheck }: { recheck: NonNullable<SessionState['recheck']> }) {
  const { axis, refresh } = usePage()
  const { busy, trouble, run } = useAction()
  const { withinPercent } = recheck
  const judge = async (): Promise<void> => {
    const done = await run(async () => {
      await tell('recheck/judge', { axisId: axis.id, withinPercent })
      await refresh()
    })
    if (done) location.hash = '#/check'
  }
  return (
    <>
      <div class="buttons">
        <button type="button" class="main" disabled={busy} onClick={judge}>
          {busy ? 'Judging …' : `Judge these runs within ${withinPercent} %`}
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </>
  )
}
