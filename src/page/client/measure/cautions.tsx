import { useEffect, useRef } from 'preact/hooks'
import { usePage } from '../model/use-page.js'

/** Read once since the page was loaded: going to look something up and back asks nothing anew. */
let read = false

export function wereCautionsRead(): boolean {
  return read
}

/** The cautions, to be read and agreed to before the table moves. */
export function CautionsDialog({ onClear, onNotYet }: { onClear: () => void; onNotYet: () => void }) {
  const { start } = usePage()
  const dialog = useRef<HTMLDialogElement>(null)
  useEffect(() => dialog.current?.showModal(), [])
  const clear = (): void => {
    read = true
    onClear()
  }
  return (
    <dialog
      ref={dialog}
      aria-labelledby="cautions-title"
      onCancel={(event) => {
        event.preventDefault()
        onNotYet()
      }}
    >
      {/* Focus begins here: at a button the dialog of a small phone would open with its first cautions scrolled away. */}
      <h2 id="cautions-title" tabIndex={-1} autofocus>
        Before the table moves
      </h2>
      <ul>
        {start.cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
      <div class="buttons">
        <button type="button" onClick={onNotYet}>
          Not yet
        </button>
        <button type="button" class="main" onClick={clear}>
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
    <details class="quiet">
      <summary>Before the table moves</summary>
      <ul>
        {start.cautions.map((caution) => (
          <li key={caution}>{caution}</li>
        ))}
      </ul>
    </details>
  )
}
