import { useEffect, useRef } from 'preact/hooks'
import { usePage } from '../model/use-page.js'

/** The cautions, to be read and agreed to before the table moves. */
export function CautionsDialog({ onClear, onNotYet }: { onClear: () => void; onNotYet: () => void }) {
  const { start } = usePage()
  const dialog = useRef<HTMLDialogElement>(null)
  useEffect(() => dialog.current?.showModal(), [])
  return (
    <dialog
      ref={dialog}
      aria-labelledby="cautions-title"
      onCancel={(event) => {
        event.preventDefault()
        onNotYet()
      }}
    >
      <h2 id="cautions-title">Before the table moves</h2>
      <ul>
        {start.cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <div class="buttons">
        <button type="button" onClick={onNotYet}>
          Not yet
        </button>
        <button type="button" class="main" onClick={onClear}>
          All clear, go on
        </button>
      </div>
    </dialog>
  )
}

/** The cautions where one traverse follows the other and nothing is asked in between. */
export function CautionsReminder() {
  const { start } = usePage()
  return (
    <details class="quiet" open>
      <summary>Before the table moves</summary>
      <ul>
        {start.cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
    </details>
  )
}
