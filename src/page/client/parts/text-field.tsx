import { useId } from 'preact/hooks'

/** A field to type in, with a word below it where its name does not say it all. */
export function TextField({
  label,
  value,
  onText,
  hint,
  numeric = false,
}: {
  label: string
  value: string
  onText: (text: string) => void
  hint?: string
  /** Phones then show a keypad of digits. */
  numeric?: boolean
}) {
  const id = useId()
  return (
    <div class="field">
      <label for={id}>{label}</label>
      <input
        id={id}
        value={value}
        inputMode={numeric ? 'decimal' : 'text'}
        autocomplete="off"
        aria-describedby={hint === undefined ? undefined : `${id}-hint`}
        onInput={(event) => onText(event.currentTarget.value)}
      />
      {hint !== undefined && (
        <small class="quiet" id={`${id}-hint`}>
          {hint}
        </small>
      )}
    </div>
  )
}
