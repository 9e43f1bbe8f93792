import { TablepaceError } from '../../../errors/index.js'
import { MEASURED_SENTENCE } from '../../../planning/lookup/free-of-cut.js'
import { dialForFeed, feedAtDial } from '../../../planning/lookup/lookups.js'
import { measuredRange } from '../../../planning/lookup/measured-range.js'
import { standingWarnings } from '../../../planning/lookup/standing-warnings.js'
import type { StoredTable } from '../../../store/index.js'
import type { Direction } from '../../../traverse/index.js'
import {
  feedUnit,
  formatDial,
  formatFeed,
  formatInterval,
  type LengthUnit,
  parseFeedMmPerMin,
  parseNumber,
} from '../../../units/index.js'
import type { LookupTables } from '../../api.js'
import { onPage } from '../../wording.js'
import { useKept } from '../model/kept.js'
import { inUnit } from '../model/typed.js'
import { usePage } from '../model/use-page.js'
import { Choice } from '../parts/choice.js'
import { CurveChart } from '../parts/curve-chart.js'
import { FeedTable } from '../parts/feed-table.js'
import { MovedWarning } from '../parts/moved-warning.js'
import { Notice } from '../parts/notice.js'
import { TodaySentence } from '../parts/today-sentence.js'
import { wayShown, waySpoken } from '../parts/way-words.js'
import { feedWords, withinWords } from '../parts/words.js'

/** What was asked last: a dial, or a feed. */
interface Asked {
  readonly by: 'dial' | 'feed'
  readonly text: string
  /** What a bare feed was meant in. */
  readonly unit: LengthUnit
}

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
            <a href="#/measure">Time the first runs</a>
          </p>
        </Notice>
      </section>
    )
  }
  const days = data.lookups.find((one) => one.anyDay.direction === table.direction)
  const shown = { ...(days?.anyDay ?? table), unit }
  const range = measuredRange(shown)
  const middle = formatDial((range.dial[0] + range.dial[1]) / 2)
  const question =
    asked === null
      ? ({ by: 'dial', text: middle } as const)
      : { by: asked.by, text: asked.by === 'dial' ? asked.text : inUnit(asked, unit) }
  const answer = lookUp(shown, question)
  const [low, high] = range.dial
  const askDial = (dial: number): void => setAsked('dial', formatDial(handy(dial, shown)))
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
        <label class={`big ${question.by === 'feed' ? 'found' : ''}`}>
          Dial
          <input
            inputMode="decimal"
            autocomplete="off"
            value={
              question.by === 'dial' ? question.text : answer.kind === 'found' ? formatDial(answer.dial) : ''
            }
            onInput={(event) => setAsked('dial', event.currentTarget.value)}
            onFocus={(event) => event.currentTarget.select()}
          />
        </label>
        <span class="gives" aria-hidden="true">
          {question.by === 'dial' ? '→' : '←'}
        </span>
        <label class={`big ${question.by === 'dial' ? 'found' : ''}`}>
          Feed, {feedUnit(unit)}
          <input
            inputMode="decimal"
            autocomplete="off"
            value={
              question.by === 'feed'
                ? question.text
                : answer.kind === 'found'
                  ? formatFeed(answer.feedMmPerMin, answer.interval95, unit)
                  : ''
            }
            onInput={(event) => setAsked('feed', event.currentTarget.value)}
            onFocus={(event) => event.currentTarget.select()}
          />
        </label>
      </div>
      <input
        class="slider"
        type="range"
        aria-label="Dial"
        min={low}
        max={high}
        step={shown.curve.length > 0 ? 0.05 : 'any'}
        value={answer.kind === 'found' ? answer.dial : low}
        onInput={(event) => askDial(event.currentTarget.valueAsNumber)}
      />
      <div aria-live="polite" class="answer">
        {answer.kind === 'refused' ? (
          <Notice kind="trouble">{answer.message}</Notice>
        ) : (
          <Answer found={answer} unit={unit} />
        )}
        {days?.today && <TodayAnswer today={days.today} question={question} unit={unit} />}
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
      {[
        ...new Set(
          data.tables.flatMap((one) =>
            [...standingWarnings(one), ...one.warnings]
              .filter((warning) => warning.code !== 'table-moved')
              .map((warning) => warning.message),
          ),
        ),
      ].map((message) => (
        <Notice kind="note" key={message}>
          {message}
        </Notice>
      ))}
    </section>
  )
}

/** A lookup's answer in one shape, whichever way it was asked. */
interface Found {
  readonly kind: 'found'
  readonly by: 'dial' | 'feed'
  readonly dial: number
  readonly dial95: readonly [number, number] | null
  readonly feedMmPerMin: number
  readonly interval95: readonly [number, number] | null
  readonly next95: readonly [number, number] | null
  readonly nearest: { readonly dial: number; readonly offPercent: number } | null
  readonly cannotTellApart: string | null
}

function lookUp(
  table: StoredTable,
  { by, text }: Pick<Asked, 'by' | 'text'>,
): Found | { kind: 'refused'; message: string } {
  try {
    if (by === 'dial') {
      const { dial, feed, nextSetting95 } = feedAtDial(table, parseNumber(text, 'Dial'))
      const { feedMmPerMin, interval95 } = feed
      return {
        ...{ kind: 'found', by, dial, feedMmPerMin, interval95, next95: nextSetting95 },
        ...{ dial95: null, nearest: null, cannotTellApart: null },
      }
    }
    const { dial, feed, nextSetting95, nearestMark, cannotTellApart } = dialForFeed(
      table,
      parseFeedMmPerMin(text, table.unit, 'Feed'),
    )
    return {
      ...{ kind: 'found', by, dial: dial.value, dial95: dial.interval95, next95: nextSetting95 },
      ...{
        feedMmPerMin: feed.feedMmPerMin,
        interval95: feed.interval95,
        nearest: nearestMark,
        cannotTellApart,
      },
    }
  } catch (error) {
    if (!(error instanceof TablepaceError)) throw error
    return { kind: 'refused', message: onPage(error.inFull) }
  }
}

function Answer({ found, unit }: { found: Found; unit: LengthUnit }) {
  const { dial, dial95, feedMmPerMin, interval95, next95, nearest } = found
  return (
    <>
      <p class="strong">
        {found.by === 'feed'
          ? `Set the dial to ${formatDial(dial)}${dial95 === null ? '' : ` (95 %: ${formatDial(dial95[0])} … ${formatDial(dial95[1])})`}`
          : `Dial ${formatDial(dial)} gives ${feedWords(feedMmPerMin, interval95, unit)}`}
      </p>
      <p>
        {withinWords(feedMmPerMin, interval95)} for the mean of this setting; next time you set it:{' '}
        {formatInterval(next95, unit)} {feedUnit(unit)}, with 95 % probability.
        {nearest !== null &&
          ` The nearest mark, ${formatDial(nearest.dial)}, is off by ${nearest.offPercent >= 0 ? '+' : ''}${nearest.offPercent.toFixed(1)} %.`}
        {found.cannotTellApart !== null && ` ${found.cannotTellApart}`}
      </p>
      <p class="quiet">{MEASURED_SENTENCE}</p>
    </>
  )
}

/** The same question answered for the present session. */
function TodayAnswer({
  today,
  question,
  unit,
}: {
  today: NonNullable<LookupTables['today']>
  question: Pick<Asked, 'by' | 'text'>
  unit: LengthUnit
}) {
  const found = lookUp({ ...today.table, unit }, question)
  if (today.sentence === null || found.kind === 'refused') return null
  return (
    <>
      <p class="strong">
        Today:{' '}
        {question.by === 'feed'
          ? `dial ${formatDial(found.dial)}`
          : `${feedWords(found.feedMmPerMin, found.interval95, unit)}, ${withinWords(found.feedMmPerMin, found.interval95)}`}
      </p>
      <TodaySentence today={today} />
    </>
  )
}

/** A dial one can set: to a twentieth, or the nearest mark where there is nothing between. */
function handy(dial: number, table: StoredTable): number {
  if (table.curve.length > 0) {
    const [low, high] = measuredRange(table).dial
    return Math.min(high, Math.max(low, Math.round(dial * 20) / 20))
  }
  return table.marks.reduce(
    (best, { dial: mark }) => (Math.abs(mark - dial) < Math.abs(best - dial) ? mark : best),
    Number.POSITIVE_INFINITY,
  )
}
