import type { SessionState } from '../../api.js'

/** A run of a session, counted as the progress counts: after all others that are done. */
export function runCount({ steps }: Pick<SessionState, 'steps'>, shown: number): string {
  return `Run ${steps.filter(({ done, step }) => done && step !== shown).length + 1} of ${steps.length}`
}

/** How far one is. */
export function Progress({
  done,
  all,
  minutesLeft,
}: {
  done: number
  all: number
  /** Null where it is not known. */
  minutesLeft: number | null
}) {
  return (
    <p class="progress">
      <progress value={done} max={all} aria-label="Runs done" />
      <span>
        {done} of {all} runs
      </span>
      {minutesLeft !== null && minutesLeft >= 1 && (
        <span class="quiet">{Math.round(minutesLeft)} min left</span>
      )}
    </p>
  )
}
