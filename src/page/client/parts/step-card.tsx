import { directionWord, formatDial, formatLength, printedSign } from '../../../units/index.js'
import type { SessionState } from '../../api.js'
import { usePage } from '../model/use-page.js'

/** What to set and do for the next run of the session. */
export function StepCard({ session }: { session: SessionState }) {
  const { unit } = usePage()
  const { next, steps, resetDial } = session
  const done = steps.filter((step) => step.done).length
  if (next === null) {
    return (
      <div class="step">
        <p class="strong">
          {done === steps.length
            ? 'All runs of this session are done.'
            : `${done} of ${steps.length} runs are done; the others were skipped.`}
        </p>
      </div>
    )
  }
  const { travel } = next
  return (
    <div class="step">
      <p class="count">
        Run {next.step} of {steps.length}, pass {next.pass}
      </p>
      <p class="do">
        {resetDial ? 'Turn the dial away, then back to' : 'Dial to'} <strong>{formatDial(next.dial)}</strong>,
        feed{' '}
        <strong>
          {printedSign(next.direction)}
          <span class="unseen"> direction {directionWord(next.direction)}</span>
        </strong>
      </p>
      <p>
        {session.source === 'stopwatch'
          ? 'Let the table run up before the first line and past the last one; press while it travels.'
          : travel === null
            ? `Let it travel for about ${next.minimumTimeS} s, and stop it well before the limit stop.`
            : `Travel about ${formatLength(travel.distanceMm, unit)}, which takes about ${Math.round(travel.timeS)} s.`}
      </p>
    </div>
  )
}
