import { useEffect } from 'preact/hooks'
import type { LengthUnit } from '../../../../units/index.js'
import type { Stopwatch } from '../../model/use-stopwatch.js'
import { Elapsed, PressButton } from './press-button.js'

/** The large button and what belongs to it. */
export function Watch({
  watch,
  over,
  unit,
  onPress,
  onKeep,
}: {
  watch: Stopwatch
  /** The distance as it is shown. */
  over: string
  unit: LengthUnit
  onPress: (event: Event) => void
  onKeep: () => void
}) {
  const { timer, mark, undo, reset } = watch
  const { state } = timer
  const timing = timer.timing()
  const marks = timer.presses.filter((one) => one.kind === 'mark').length
  const far =
    over.trim() === '' ? 'the distance' : /[a-z"]\s*$/i.test(over) ? over.trim() : `${over.trim()} ${unit}`
  useSpaceBar(timing === null ? onPress : null)
  return (
    <div class={`watch ${state}`}>
      <PressButton className="press" onPress={onPress} spent={timing !== null}>
        <span class="word">{{ ready: 'Start', running: 'Stop', stopped: 'Stopped' }[state]}</span>
        <span class="hint">
          {
            {
              ready: 'as the table passes the first line',
              running: `after ${far}, at the last line`,
              stopped: `timed over ${far}`,
            }[state]
          }
        </span>
        <Elapsed timer={timer} />
      </PressButton>
      {timing !== null && (
        <button type="button" class="main huge keep" onClick={onKeep}>
          Keep {timing.durationS.toFixed(2)} s
        </button>
      )}
      <div class="buttons even">
        {state === 'running' && (
          <PressButton className="tall" onPress={mark} spent={false}>
            Mark on the way{marks > 0 ? ` (${marks})` : ''}
          </PressButton>
        )}
        {state !== 'ready' && (
          <button type="button" class="tall" onClick={undo}>
            Undo the last press
          </button>
        )}
        {timing !== null && (
          <button type="button" class="tall" onClick={reset}>
            Throw away
          </button>
        )}
      </div>
    </div>
  )
}

/** The space bar presses wherever the focus is, but in a field or on another button, and never scrolls the page. */
function useSpaceBar(press: ((event: Event) => void) | null): void {
  useEffect(() => {
    const onKey = (event: KeyboardEvent): void => {
      const at = event.target
      if (
        event.key !== ' ' ||
        (at instanceof Element && at.closest('input, select, textarea, button, a, dialog, summary'))
      )
        return
      event.preventDefault()
      if (!event.repeat) press?.(event)
    }
    addEventListener('keydown', onKey)
    return () => removeEventListener('keydown', onKey)
  }, [press])
}
