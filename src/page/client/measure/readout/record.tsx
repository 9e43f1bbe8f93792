import { useState } from 'preact/hooks'
import { formatDial, formatLength, parseDialSetting } from '../../../../units/index.js'
import type { ArmRequest, LiveState, SessionState } from '../../../api.js'
import { tell } from '../../model/server.js'
import { usePage } from '../../model/use-page.js'
import { Notice } from '../../parts/notice.js'
import { useAction } from '../../parts/use-action.js'
import { wayShown } from '../../parts/way-words.js'
import { CautionsDialog } from '../cautions.js'
import { DialField } from '../dial-field.js'
import { FitButton } from '../finish.js'
import { Instruction } from '../instruction.js'
import { runCount } from '../progress.js'
import { RunConditions, useConditions } from '../run-conditions.js'
import { isByTravels, type ReadoutWork, travelsShown } from './readout-work.js'
import { SweepGuide } from './sweep-cue.js'

const STATUS_WORDS: Readonly<Record<LiveState['status'], string>> = {
  closed: 'No readout',
  opening: 'Opening the readout …',
  watching: 'Following, not recording',
  armed: 'Recording: start the feed when ready',
  moving: 'Recording: the table moves',
  away: 'The readout is gone; waiting for it',
}

/** The next recording: its instruction and the one button. */
export function Record({ live, work }: { live: LiveState; work: ReadoutWork }) {
  const { axis } = usePage()
  const [single, setSingle] = useState({ text: '', untouched: false })
  const [asking, setAsking] = useState<ArmRequest['what'] | null>(null)
  const conditions = useConditions()
  const { busy, trouble, run } = useAction()
  const recording = live.status === 'armed' || live.status === 'moving'
  const travels = travelsShown(live, axis.id, work)
  const begin = (): void =>
    void run(async () => {
      if (work.kind === 'session' || work.kind === 'recheck-travels') setAsking({ kind: work.kind })
      else if (work.kind === 'sweep') setAsking(travelsAsked(work))
      else {
        const dial = parseDialSetting(single.text, 'Dial setting', axis)
        setAsking({ kind: 'run', dial, dialReset: !single.untouched, check: work.check })
      }
    })
  return (
    <>
      {asking !== null && (
        <CautionsDialog
          onNotYet={() => setAsking(null)}
          onClear={() => {
            setAsking(null)
            void run(() => tell('live/arm', { what: asking, allClear: true, tags: conditions.tags }))
          }}
        />
      )}
      {work.kind === 'session' && <NextStep session={work.session} />}
      {isByTravels(work) && <SweepGuide sweep={travels} />}
      {work.kind === 'single' && !recording && <SingleSetting setting={single} onChange={setSingle} />}
      <p role="status" class={`status ${live.status}`}>
        <span class="lamp" aria-hidden="true">
          {recording ? '●' : '○'}
        </span>{' '}
        {live.silent ? 'The readout says nothing just now' : STATUS_WORDS[live.status]}
        {live.dial !== null && `, dial ${formatDial(live.dial, axis)}`}
        {live.direction !== null && `, direction ${wayShown(axis, live.direction)}`}
      </p>
      <div class="buttons">
        {recording ? (
          <button
            type="button"
            class="huge"
            disabled={busy}
            onClick={() => run(() => tell('live/disarm', {}))}
          >
            Stop recording
          </button>
        ) : (
          !isOver(work, travels) && (
            <button
              type="button"
              class="main huge"
              disabled={busy || live.status !== 'watching'}
              onClick={begin}
            >
              {beginWords(work, travels)}
            </button>
          )
        )}
      </div>
      {work.kind === 'sweep' && travels !== null && !recording && <FitButton />}
      {live.trouble !== null && <Notice kind="trouble">{live.trouble}</Notice>}
      {trouble !== null && trouble !== live.trouble && <Notice kind="trouble">{trouble}</Notice>}
      {!recording && <RunConditions conditions={conditions} />}
    </>
  )
}

function travelsAsked({ directions, withinPercent }: ReadoutWork & { kind: 'sweep' }): ArmRequest['what'] {
  return {
    kind: 'sweep',
    directions: [...directions],
    ...(withinPercent === null ? {} : { withinPercent }),
  }
}

function isOver(work: ReadoutWork, travels: LiveState['sweep']): boolean {
  if (work.kind === 'session' || work.kind === 'recheck-travels') return work.session.next === null
  return work.kind === 'sweep' && travels?.left === 0
}

function beginWords(work: ReadoutWork, travels: LiveState['sweep']): string {
  if (work.kind === 'session') return 'Go on with the session'
  if (work.kind === 'single') return 'Record this run'
  const begun = work.kind === 'sweep' ? travels !== null : work.session.steps.some(({ done }) => done)
  return !begun ? 'Begin the travels' : 'Go on with the travels'
}

/** What to set for the next run of the session. */
export function NextStep({ session }: { session: SessionState }) {
  const { axis, unit } = usePage()
  const { next, resetDial } = session
  if (next === null) return null
  const { travel, minimumTimeS } = next
  return (
    <>
      <p class="count">
        {runCount(session, next.step)}, pass {next.pass}
      </p>
      <Instruction dial={formatDial(next.dial, axis)} direction={next.direction} turnAway={resetDial}>
        {travel === null
          ? `Travel for about ${minimumTimeS} s, well short of the stop.`
          : `Travel about ${formatLength(travel.distanceMm, unit)}, for about ${Math.round(travel.timeS)} s.`}
      </Instruction>
    </>
  )
}

interface Single {
  readonly text: string
  readonly untouched: boolean
}

function SingleSetting({ setting, onChange }: { setting: Single; onChange: (setting: Single) => void }) {
  const { axis } = usePage()
  return (
    <>
      <DialField axis={axis} text={setting.text} onText={(text) => onChange({ ...setting, text })} />
      <label class="check">
        <input
          type="checkbox"
          checked={setting.untouched}
          onChange={(event) => onChange({ ...setting, untouched: event.currentTarget.checked })}
        />
        The dial was not touched since the last run
      </label>
    </>
  )
}
