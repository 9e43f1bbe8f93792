import type { Axis } from '../../../store/index.js'
import { formatDial } from '../../../units/index.js'

/** A dial setting: one key a mark, or a number between them typed in. */
export function DialField({
  axis,
  text,
  onText,
}: {
  axis: Axis
  text: string
  onText: (text: string) => void
}) {
  return (
    <div class="dial-field">
      <label>
        Dial setting
        <input
          value={text}
          inputMode={axis.lettered ? 'text' : 'decimal'}
          autocomplete="off"
          placeholder={`${formatDial(axis.dialMin, axis)} to ${formatDial(axis.dialMax, axis)}`}
          onInput={(event) => onText(event.currentTarget.value)}
        />
      </label>
      <fieldset class="keys" aria-label="Marks of the dial">
        {[...axis.marks.map((mark) => formatDial(mark, axis)), 'rapid'].map((mark) => (
          <button
            type="button"
            key={mark}
            aria-pressed={text.trim().toUpperCase() === mark.toUpperCase()}
            onClick={() => onText(mark)}
          >
            {mark}
          </button>
        ))}
      </fieldset>
    </div>
  )
}
