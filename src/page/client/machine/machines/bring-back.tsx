import { Notice } from '../../parts/notice.js'
import { useAction } from '../../parts/use-action.js'

/** Takes up again what was retired. */
export function BringBack({
  name,
  work,
  reload,
}: {
  name: string
  work: () => Promise<unknown>
  reload: () => Promise<void>
}) {
  const { busy, trouble, run } = useAction()
  const bringBack = (): Promise<boolean> =>
    run(async () => {
      await work()
      await reload()
    })
  return (
    <>
      <div class="buttons">
        <button
          type="button"
          class="small"
          aria-label={`Bring back ${name}`}
          disabled={busy}
          onClick={bringBack}
        >
          Bring back
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </>
  )
}
