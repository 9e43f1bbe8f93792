import type { SessionState } from '../../api.js'

/** How far the session is. */
export function SessionProgress({ session: { steps } }: { session: SessionState }) {
  const done = steps.filter((step) => step.done).length
  return (
    <p class="progress">
      <progress value={done} max={steps.length} aria-label="Runs done" />
      <span>
        {done} of {steps.length} runs
      </span>
    </p>
  )
}
