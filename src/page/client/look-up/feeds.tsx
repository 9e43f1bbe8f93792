import { measuredRange } from '../../../planning/lookup/measured-range.js'
import { apartFromMove, standingWarnings } from '../../../planning/lookup/standing-warnings.js'
import type { StoredTable } from '../../../store/index.js'
import type { Direction } from '../../../traverse/index.js'
import { feedUnit, formatDial, formatFeed } from '../../../units/index.js'
import { useKept } from '../model/kept.js'
import { inUnit } from '../model/typed.js'
import { usePage } from '../model/use-page.js'
import { Choice } from '../parts/choice.js'
import { FeedTable } from '../parts/feed-table.js'
import { MovedWarning } from '../parts/moved-warning.js'
import { Notice } from '../parts/notice.js'
import { wayShown, waySpoken } from '../parts/way-words.js'
import { CurveChart } from './curve-chart.js'
import { type Asked, handy, lookUp } from './look-up.js'
import { RangeAnswers } from './range-answers.js'

/** What this device asked last, so that a reload shows it again. */
interface Kept {
  readonly direction: Direction
  readonly asked: Asked | null
}

/** Look up: a dial gives a feed, a feed gives a dial; the curve, and the table to read at arm's length. */
export function Feeds() {
  const { data, unit, axis } = usePage()
  const [kept, setKept] = useKept<Kept>(`tablepace.asked.${axis.id}`, { direction: 1, asked: null })
  const { direction, asked } = kept
  const setAsked = (by: Asked['by'], text: string): void => setKept({ direction, asked: { by, text, unit } })
  const table = data.tables.find((one) => one.direction === direction) ?? data.tables[0]
  if (table === undefined) {
    return (
      <section>
        <h1>Feeds of {axis.name}</h1>
        <Notice kind="note">
          <p>There is no table of this axis yet.</p>
          <p>
            <a class="alone" href="#/measure">
              Time the first runs
            </a>
          </p>
        </Notice>
      </section>
    )
  }
  const days = data.lookups.find((one) => one.anyDay.direction === table.direction)
  const shown = { ...(days?.anyDay ?? table), unit }
  const range = measuredRange(shown)
  const middle = (range.dial[0] + range.dial[1]) / 2
  const first = formatDial(axis.lettered ? handy(middle, shown) : middle, axis)
  const question =
    asked === null
      ? ({ by: 'dial', text: first } as const)
      : { by: asked.by, text: asked.by === 'dial' ? asked.text : inUnit(asked, unit) }
  // What is largest on the screen is what the machine does now.
  const answer = lookUp({ ...(days?.today?.table ?? shown), unit }, question, axis.range)
  const [low, high] = range.dial
  const askDial = (dial: number): void => setAsked('dial', formatDial(handy(dial, shown), axis))
  return (
    <section>
      <h1>Feeds of {axis.name}</h1>
      <MovedWarning tables={data.tables} />
      <div class="lookup">
        {data.tables.length > 1 && (
          <Choice
            legend="Direction"
            name="direction"
            value={table.direction}
            options={data.tables.map((one) => ({
              value: one.direction,
              label: wayShown(axis, one.direction),
              spoken: `direction ${waySpoken(axis, one.direction)}`,
            }))}
            onChange={(next) => setKept({ direction: next, asked })}
          />
        )}
        <BigField
          label="Dial"
          keypad={!axis.lettered}
          typed={question.by === 'dial' ? question.text : null}
          found={answer.kind === 'found' ? formatDial(answer.dial, axis) : ''}
          onText={(text) => setAsked('dial', text)}
        />
        <span class="gives" aria-hidden="true">
          {question.by === 'dial' ? '→' : '←'}
        </span>
        <BigField
          label={`Feed, ${feedUnit(unit)}`}
          keypad
          typed={question.by === 'feed' ? question.text : null}
          found={answer.kind === 'found' ? formatFeed(answer.feedMmPerMin, answer.interval95, unit) : ''}
          onText={(text) => setAsked('feed', text)}
        />
      </div>
      <input
        class="slider"
        type="range"
        aria-label="Dial"
        aria-valuetext={axis.lettered && answer.kind === 'found' ? formatDial(answer.dial, axis) : undefined}
        min={low}
        max={high}
        step={shown.curve.length > 0 ? 0.05 : 'any'}
        value={answer.kind === 'found' ? answer.dial : low}
        onInput={(event) => askDial(event.currentTarget.valueAsNumber)}
      />
      <div aria-live="polite" class="answer">
        <RangeAnswers question={question} unit={unit} direction={table.direction} />
      </div>
      <CurveChart
        tables={data.tables}
        runs={data.runs}
        unit={unit}
        direction={table.direction}
        dial={answer.kind === 'found' ? answer.dial : null}
        onDial={askDial}
      />
      <FeedTable tables={data.tables} unit={unit} />
      <TableNotes tables={data.tables} />
    </section>
  )
}

/** Characters that are given room at the least, so that the size of most numbers is the same (judgement). */
const FEWEST_FIGURES = 4

/** The dial, or the feed: one of them is typed, and the other found. */
function BigField({
  label,
  keypad,
  typed,
  found,
  onText,
}: {
  label: string
  /** Phones then show a keypad of digits. */
  keypad: boolean
  /** Null where it is found. */
  typed: string | null
  found: string
  onText: (text: string) => void
}) {
  const text = typed ?? found
  return (
    <label class={`big ${typed === null ? 'found' : ''}`}>
      {label}
      <input
        inputMode={keypad ? 'decimal' : 'text'}
        autocomplete="off"
        value={text}
        style={{ '--figures': Math.max(FEWEST_FIGURES, text.length) }}
        onInput={(event) => onText(event.currentTarget.value)}
        onFocus={(event) => event.currentTarget.select()}
      />
    </label>
  )
}

/** What is to be known of the tables, each once. */
function TableNotes({ tables }: { tables: readonly StoredTable[] }) {
  const warnings = tables.flatMap((table) => [...standingWarnings(table), ...table.warnings])
  const notes = apartFromMove(warnings).others.map(({ message }) => message)
  return (
    <>
      {[...new Set(notes)].map((message) => (
        <Notice kind="note" key={message}>
          {message}
        </Notice>
      ))}
    </>
  )
}
