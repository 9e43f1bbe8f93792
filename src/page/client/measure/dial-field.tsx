import type { Axis, DialSetting } from '../../../store/index.js'
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
          inputMode="decimal"
          autocomplete="off"
          placeholder={`${formatDial(axis.dialMin)} to ${formatDial(axis.dialMax)}`}
          onInput={(event) => onText(event.currentTarget.value)}
        />
      </label>
      <fieldset class="keys" aria-label="Marks of the dial">
        {[...axis.marks.map((mark) => formatDial(mark)), 'rapid'].map((mark) => (
          <button type="button" key={mark} aria-pressed={text.trim() === mark} onClick={() => onText(mark)}>
            {mark}
          </button>
        ))}
      </fieldset>
    </div>
  )
}

/** The typed text as a setting. @throws UsageError of `parse` */
export function dialOf(text: string, parse: (text: string, what: string) => number): DialSetting {
  return text.trim().toLowerCase() === 'rapid' ? 'rapid' : parse(text, 'Dial setting')
}
