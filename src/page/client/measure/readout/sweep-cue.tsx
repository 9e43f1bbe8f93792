import { countOf } from '../../../../text/count-of.js'
import { formatDial } from '../../../../units/index.js'
import type { SweepState } from '../../../api.js'
import { usePage } from '../../model/use-page.js'
import { Progress } from '../progress.js'
import { Way } from '../way.js'

/** What to turn the knob to now, in the largest type of the screen, and how far the travel is. */
export function SweepGuide({ sweep }: { sweep: SweepState | null }) {
  if (sweep === null) {
    return (
      <div class="instruction">
        <p class="set">Many settings in one travel</p>
        <p>
          The table travels once through its length while you turn the knob from mark to mark. Listen and
          look: each time a setting is known, the page says what to turn to, and when to stop.
        </p>
      </div>
    )
  }
  const { runs, left, minutesLeft, cue, sentences } = sweep
  return (
    <>
      {!sweep.ofRecheck && (
        <Progress done={runs - left} all={runs} minutesLeft={left === 0 ? null : minutesLeft} />
      )}
      {cue !== null && <Cue cue={cue} />}
      {cue !== null && <Settings sweep={sweep} />}
      {cue === null && (
        <p class="strong">
          {left === 0
            ? 'All runs are made.'
            : `Stopped with ${countOf(left, 'run')} to go; what is made is kept.`}
        </p>
      )}
      {cue === null && sentences.map((sentence) => <p key={sentence}>{sentence}</p>)}
    </>
  )
}

function Cue({ cue }: { cue: NonNullable<SweepState['cue']> }) {
  const { axis } = usePage()
  if (cue.cue === 'start') {
    return (
      <div class="instruction" role="alert">
        <p class="set">
          <span>
            Set <strong>{formatDial(cue.dial, axis)}</strong>
          </span>{' '}
          {cue.direction !== null && (
            <span>
              feed <Way axis={axis} direction={cue.direction} />
            </span>
          )}
        </p>
        <p>
          Bring the table to the end of its travel, then start the feed. Leave it running; turn the knob when
          asked.
        </p>
      </div>
    )
  }
  if (cue.cue === 'stop') {
    return (
      <div class="instruction" role="alert">
        <p class="set">
          <strong>STOP</strong>
        </p>
        <p>
          {cue.because === 'all-known' ? 'All settings of this travel are known.' : 'The travel ends here.'}{' '}
          Stop the feed and let the table rest.
        </p>
      </div>
    )
  }
  return (
    <div class="instruction" role="alert">
      <p class="set">
        <span>
          Turn to <strong>{formatDial(cue.dial, axis)}</strong>
        </span>
      </p>
      <p>
        {cue.cue === 'turn'
          ? 'The setting before is known well enough.'
          : 'No change of speed shows yet: turn the knob, or stop the feed.'}
      </p>
    </div>
  )
}

/** The settings of this travel: known, turned to now, still to come. */
function Settings({ sweep: { dials, known } }: { sweep: SweepState }) {
  const { axis } = usePage()
  return (
    <ol class="cells travel" aria-label="Settings of this travel">
      {dials.map((dial, index) => {
        // The travel of a recheck comes back to a setting.
        const place = `${index} ${dial}`
        const state = index < known ? 'done' : index === known ? 'next' : 'open'
        return (
          <li class={`cell ${state}`} key={place}>
            {formatDial(dial, axis)} {{ done: '✓', next: '▶', open: '·' }[state]}
          </li>
        )
      })}
    </ol>
  )
}
