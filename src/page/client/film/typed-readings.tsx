import { useState } from 'preact/hooks'
import { feedUnit, formatFeed, parseDialSetting } from '../../../units/index.js'
import { RunConditions, useConditions } from '../measure/run-conditions.js'
import { tell } from '../model/server.js'
import { usePage } from '../model/use-page.js'
import { Notice } from '../parts/notice.js'
import { useAction } from '../parts/use-action.js'
import type { Film } from './film.js'
import type { FilmedSetting } from './film-runs.js'
import {
  feedsBetween,
  lastDigitMm,
  refreshOf,
  type TypedReading,
  typedReading,
  typedRefresh,
  withReading,
} from './reading.js'
import { useKeepFilm } from './use-keep-film.js'

/** Readings of the display, typed at a few frames, and the run that they make. */
export function TypedReadings({ film, setting }: { film: Film; setting: FilmedSetting }) {
  const { axis, unit } = usePage()
  const [text, setText] = useState('')
  const [readings, setReadings] = useState<readonly TypedReading[]>([])
  const [changesS, setChangesS] = useState<readonly number[]>([])
  const [refreshText, setRefreshText] = useState('')
  const conditions = useConditions()
  const typing = useAction()
  const keeping = useKeepFilm()
  const learned = refreshOf(changesS)
  const change = (changed: readonly TypedReading[]): void => {
    setReadings(changed)
    keeping.changed()
  }
  const add = (): Promise<boolean> =>
    typing.run(async () => {
      change(withReading(readings, typedReading(text, film.atS, unit)))
      setText('')
    })
  const keep = (): Promise<boolean> =>
    keeping.keep(
      (name) =>
        tell('film', {
          ...name,
          dial: parseDialSetting(setting.dial, 'Dial setting', axis),
          direction: setting.direction,
          step: setting.step,
          readings: readings.map(({ timeS, positionMm }) => ({ timeS, positionMm })),
          positionLastDigitMm: lastDigitMm(readings, unit),
          frameS: film.frameS,
          framesTold: film.tellsFrames,
          refreshS: learned ?? typedRefresh(refreshText),
          refreshSeen: learned !== null,
          tags: conditions.tags,
        }),
      () => change([]),
    )
  return (
    <>
      <h2>Type the readings</h2>
      <p class="quiet">
        Read the display at two frames at least, better at five, spread over the travel: the first three
        seconds or more after the table starts, the last before the feed is stopped. Pick frames on which the
        digits are sharp.
      </p>
      <form
        class="typed-reading"
        onSubmit={(event) => {
          event.preventDefault()
          void add()
        }}
      >
        <label>
          Reading at this frame, {unit}
          <input
            value={text}
            inputMode="decimal"
            autocomplete="off"
            onInput={(event) => setText(event.currentTarget.value)}
          />
        </label>
        <button type="submit" disabled={text.trim() === ''}>
          Add
        </button>
      </form>
      {typing.trouble !== null && <Notice kind="trouble">{typing.trouble}</Notice>}
      <ReadingList
        readings={readings}
        onTakeBack={(left) => change(readings.filter((one) => one !== left))}
      />
      <ChangesOfDisplay
        learnedS={learned}
        typed={refreshText}
        seen={changesS.length}
        onTyped={setRefreshText}
        onSeen={() => setChangesS([...new Set([...changesS, film.atS])])}
        onForget={() => setChangesS([])}
      />
      <div class="buttons">
        <button type="button" class="main huge" disabled={keeping.busy || readings.length < 2} onClick={keep}>
          Keep this run
        </button>
      </div>
      {keeping.trouble !== null && <Notice kind="trouble">{keeping.trouble}</Notice>}
      <RunConditions conditions={conditions} />
    </>
  )
}

/** How often the display changes: seen at frames on which it does, or typed. */
function ChangesOfDisplay({
  learnedS,
  typed,
  seen,
  onTyped,
  onSeen,
  onForget,
}: {
  learnedS: number | null
  typed: string
  /** Frames at which it was seen to change. */
  seen: number
  onTyped: (text: string) => void
  onSeen: () => void
  onForget: () => void
}) {
  return (
    <>
      <div class="pair">
        {learnedS === null ? (
          <label>
            Time between changes of the display, s, if you know it
            <input
              value={typed}
              inputMode="decimal"
              onInput={(event) => onTyped(event.currentTarget.value)}
            />
          </label>
        ) : (
          <p>
            The display changes every {learnedS.toFixed(3)} s.{' '}
            <button type="button" class="small" onClick={onForget}>
              Type it instead
            </button>
          </p>
        )}
        <button type="button" aria-describedby="how-to-learn-changes" onClick={onSeen}>
          The display changes at this frame{seen > 0 && ` (${seen})`}
        </button>
      </div>
      <p class="quiet" id="how-to-learn-changes">
        A display shows where the table was when its digits last changed. To learn how long ago that may be,
        step to two frames at which the digits change, one after the other, and say so at each. Until you do,
        the program assumes a slow display with five changes a second, and the run gets a wider interval.
      </p>
    </>
  )
}

function ReadingList({
  readings,
  onTakeBack,
}: {
  readings: readonly TypedReading[]
  onTakeBack: (reading: TypedReading) => void
}) {
  const { unit } = usePage()
  if (readings.length === 0) return null
  const feeds = feedsBetween(readings)
  return (
    <ol class="readings-of-film" aria-label="Readings">
      {readings.map((one, index) => (
        <li key={one.timeS}>
          <span>
            {one.timeS.toFixed(3)} s: <strong>{one.text}</strong>
          </span>
          <span class="quiet">
            {index > 0 && `${formatFeed(Math.abs(feeds[index - 1]!), null, unit)} ${feedUnit(unit)} since`}
          </span>
          <button
            type="button"
            class="small"
            aria-label={`Take back the reading at ${one.timeS.toFixed(3)} s`}
            onClick={() => onTakeBack(one)}
          >
            Take back
          </button>
        </li>
      ))}
    </ol>
  )
}
