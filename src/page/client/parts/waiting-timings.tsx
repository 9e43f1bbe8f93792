import { formatDial, formatLength } from '../../../units/index.js'
import type { WaitingTiming } from '../model/timings.js'
import { usePage } from '../model/use-page.js'
import { Notice } from './notice.js'

/** Timings that are kept on this device, because the laptop does not have them yet or refused them. */
export function WaitingTimings({
  waiting,
  onForget,
}: {
  waiting: readonly WaitingTiming[]
  onForget: (sequence: number) => void
}) {
  const { unit } = usePage()
  if (waiting.length === 0) return null
  return (
    <Notice kind="note">
      <p>Not on the laptop yet; kept on this device:</p>
      <ul>
        {waiting.map(({ request, refused }) => (
          <li key={request.sequence}>
            dial {formatDial(request.dial)}, {formatLength(request.distanceMm, unit)} in{' '}
            {request.durationS.toFixed(2)} s
            {refused === null ? ' – waiting for the connection' : `: ${refused}`}{' '}
            {refused !== null && (
              <button type="button" class="small" onClick={() => onForget(request.sequence)}>
                Throw away
              </button>
            )}
          </li>
        ))}
      </ul>
    </Notice>
  )
}
