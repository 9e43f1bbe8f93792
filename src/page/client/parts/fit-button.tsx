import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Notice } from './notice.js'
import { useAction } from './use-action.js'

/** Makes the table from all runs that count. */
export function FitButton() {
  const { axis, refresh } = usePage()
  const { busy, trouble, run } = useAction()
  const fit = async (): Promise<void> => {
    const done = await run(async () => {
      await tell('fit', { axisId: axis.id })
      await refresh()
    })
    if (done) location.hash = '#/look-up'
  }
  return (
    <>
      <div class="buttons">
        <button type="button" class="main" disabled={busy} onClick={fit}>
          {busy ? 'Making it …' : 'Make the table from these runs'}
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </>
  )
}
