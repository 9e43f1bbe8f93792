import type { ComponentChildren } from 'preact'

/** Fields with the button that sends them, which loads no page. */
export function Form({ onSend, children }: { onSend: () => unknown; children: ComponentChildren }) {
  return (
    <form
      class="card"
      onSubmit={(event) => {
        event.preventDefault()
        onSend()
      }}
    >
      {children}
    </form>
  )
}
