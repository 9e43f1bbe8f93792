import type { SessionState } from '../../api.js'

/** How far the session is. */
export function SessionProgress({ session: { steps, minutesLeft } }: { session: SessionState }) {
  const done = steps.filter((step) => step.done).length
  return (
    <p class="progress">
      <progress value={done} max={steps.length} aria-label="Runs done" />
      <span>
        {done} of {steps.length} runs
      </span>
      {minutesLeft >= 1 && <span class="quiet">{Math.round(minutesLeft)} min left</span>}
    </p>
  )
}
