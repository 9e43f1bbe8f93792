import type { ComponentChildren } from 'preact'
import { useLayoutEffect, useRef } from 'preact/hooks'
import type { StopwatchTimer } from '../../../../ingest/recordings/stopwatch-timer.js'
import { phoneNowS } from '../../model/phone-clock.js'

/** A button that counts from the moment the finger comes down, not from when it leaves. */
export function PressButton({
  className,
  onPress,
  spent,
  children,
}: {
  className: string
  /** It says something, and does nothing more. */
  spent: boolean
  onPress: (event: Event) => void
  children: ComponentChildren
}) {
  return (
    <button
      type="button"
      class={className}
      aria-disabled={spent}
      // What appears under the finger must not take the end of the tap for one of its own.
      onTouchEnd={(event) => event.preventDefault()}
      onPointerDown={(event) => {
        if (event.button === 0) onPress(event)
      }}
      onKeyDown={(event) => {
        if (event.key !== ' ' && event.key !== 'Enter') return
        event.preventDefault()
        if (!event.repeat) onPress(event)
      }}
      onKeyUp={(event) => event.preventDefault()}
      onClick={(event) => {
        // A press by an assistive program comes as a click alone.
        if (event.detail === 0) onPress(event)
      }}
      onContextMenu={(event) => event.preventDefault()}
    >
      {children}
    </button>
  )
}

/** How often the running time is drawn, ms: in steps of what is shown of it. */
const TENTH_MS = 100

/** The time that runs; drawn on its own, so that nothing else waits for it. */
export function Elapsed({ timer }: { timer: StopwatchTimer }) {
  const shown = useRef<HTMLSpanElement>(null)
  const startS = timer.presses[0]?.timeS
  // At once: a figure that were drawn after the next Start was shown would leave the old time on it. It begins at every
  // press, as each draws this button again.
  useLayoutEffect(() => {
    if (startS === undefined) return
    let next: ReturnType<typeof setTimeout> | undefined
    const draw = (): void => {
      const timing = timer.timing()
      const elapsedS = timing?.durationS ?? Math.max(0, phoneNowS() - startS)
      if (shown.current) shown.current.textContent = `${elapsedS.toFixed(timing === null ? 1 : 2)} s`
      // A time that stands needs no more drawing, and one that runs none that nobody sees: a phone lives off its battery.
      if (timing === null) next = setTimeout(draw, TENTH_MS)
    }
    draw()
    return () => clearTimeout(next)
  })
  return (
    // Anew for each timing: what was drawn by hand would stay.
    <span class="elapsed" key={startS ?? 0} ref={shown} aria-hidden="true">
      {startS === undefined ? '0.0 s' : null}
    </span>
  )
}
