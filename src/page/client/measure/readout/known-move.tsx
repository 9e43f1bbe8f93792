import { useState } from 'preact/hooks'
import { formatLength } from '../../../../units/index.js'
import { tell } from '../../model/server.js'
import { usePage } from '../../model/use-page.js'
import { Form } from '../../parts/form.js'
import { Notice } from '../../parts/notice.js'
import { useAction } from '../../parts/use-action.js'

/**
 * Asks for a known move of the table where nothing tells what the numbers of the readout are.
 *
 * @param onTold called with what the move told, in a sentence
 */
export function KnownMove({ onTold }: { onTold: (sentence: string) => void }) {
  const { axis, unit } = usePage()
  const [moved, setMoved] = useState('')
  const { busy, trouble, run } = useAction()
  const turn =
    axis.leadscrewPitchMm === null
      ? ''
      : `turn the handle one full turn (pitch ${formatLength(axis.leadscrewPitchMm, unit)}) or `
  return (
    <Form
      onSend={() =>
        run(async () =>
          onTold((await tell('live/known-move', { moved: withUnit(moved.trim(), unit) })).sentence),
        )
      }
    >
      <h2>Are the numbers in or mm?</h2>
      <p>
        It is not yet known what the numbers of this readout are. With the feed disengaged, {turn}
        move the table by a length you know by hand, let it rest, and type how far it moved.
      </p>
      <label>
        Moved
        <input
          value={moved}
          autocomplete="off"
          placeholder={axis.leadscrewPitchMm === null ? (unit === 'in' ? '0.5in' : '10mm') : '1 turn'}
          onInput={(event) => setMoved(event.currentTarget.value)}
        />
      </label>
      <div class="buttons">
        <button type="submit" disabled={busy || moved.trim() === ''}>
          Compare
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </Form>
  )
}

/** A bare number is in the unit that the page shows, whatever the machine is built in. */
function withUnit(text: string, unit: string): string {
  return /[a-z"']\s*$/i.test(text) ? text : `${text}${unit}`
}
