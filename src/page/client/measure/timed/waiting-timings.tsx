import { useState } from 'preact/hooks'
import { formatDial, formatLength, fromMm, parseDialSetting, parseLengthMm } from '../../../../units/index.js'
import type { StopwatchRequest } from '../../../api.js'
import type { WaitingTiming } from '../../model/timings.js'
import { usePage } from '../../model/use-page.js'
import { Notice } from '../../parts/notice.js'
import { useAction } from '../../parts/use-action.js'
import { writingOn } from './axis-of-timing.js'

type Correction = Pick<StopwatchRequest, 'dial' | 'distanceMm'>

/** Timings that are kept on this device, because the laptop does not have them yet or refused them. */
export function WaitingTimings({
  waiting,
  onCorrect,
  onForget,
}: {
  waiting: readonly WaitingTiming[]
  onCorrect: (sequence: number, changes: Correction) => void
  onForget: (sequence: number) => void
}) {
  const { unit, start } = usePage()
  if (waiting.length === 0) return null
  return (
    <Notice kind="note">
      <p>Not on the computer yet; kept on this device:</p>
      <ul>
        {waiting.map(({ request, refused }) => (
          <li key={request.sequence}>
            dial {formatDial(request.dial, writingOn(start.machines, request.axisId))},{' '}
            {request.durationS.toFixed(2)} s for {formatLength(request.distanceMm, unit)}
            {refused === null ? (
              ' – waiting for the connection'
            ) : (
              <Refusal
                request={request}
                refused={refused}
                onCorrect={(changes) => onCorrect(request.sequence, changes)}
                onForget={() => onForget(request.sequence)}
              />
            )}
          </li>
        ))}
      </ul>
      {waiting.some(({ request, refused }) => request.step !== null && refused === null) && (
        <p>
          The computer names the next run once it has this one. Timed again meanwhile, it counts as one more.
        </p>
      )}
    </Notice>
  )
}

/** Why a timing was refused, and the fields to put it right in: what was timed cannot be timed again. */
function Refusal({
  request,
  refused,
  onCorrect,
  onForget,
}: {
  request: StopwatchRequest
  refused: string
  onCorrect: (changes: Correction) => void
  onForget: () => void
}) {
  const { unit, start } = usePage()
  const writing = writingOn(start.machines, request.axisId)
  const [dial, setDial] = useState(formatDial(request.dial, writing))
  const [distance, setDistance] = useState(String(Number(fromMm(request.distanceMm, unit).toFixed(3))))
  const { trouble, run } = useAction()
  const send = (): Promise<boolean> =>
    run(async () =>
      onCorrect({
        dial: parseDialSetting(dial, 'Dial setting', writing),
        distanceMm: parseLengthMm(distance, unit, 'Distance'),
      }),
    )
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault()
        void send()
      }}
    >
      <p>{refused}</p>
      <div class="pair">
        {request.step === null && (
          <label>
            Dial of this timing
            <input
              value={dial}
              inputMode={writing.lettered ? 'text' : 'decimal'}
              onInput={(event) => setDial(event.currentTarget.value)}
            />
          </label>
        )}
        <label>
          Distance of this timing, {unit}
          <input
            value={distance}
            inputMode="decimal"
            onInput={(event) => setDistance(event.currentTarget.value)}
          />
        </label>
      </div>
      <div class="buttons">
        <button type="submit" class="small main">
          Send it again
        </button>
        <button type="button" class="small" onClick={onForget}>
          Throw away
        </button>
      </div>
      {trouble !== null && <Notice kind="trouble">{trouble}</Notice>}
    </form>
  )
}
