import { worthOfCheck } from '../../../planning/days/after-check.js'
import type { Axis } from '../../../store/index.js'
import {
  feedUnit,
  formatDial,
  formatInterval,
  type LengthUnit,
  settingInRange,
  writingOf,
} from '../../../units/index.js'
import { checkRunSentence } from '../../../words/day-shift.js'
import type { LookupTables } from '../../api.js'
import { capitalized, TodaySentence } from '../parts/today-sentence.js'
import { feedWords, withinWords } from '../parts/words.js'
import { type Asked, type Found, lookUp } from './look-up.js'

/** A dial with its feed, and how sure that is on any day. */
export function Answer({
  found,
  unit,
  axis,
  isOtherToday,
}: {
  found: Found
  unit: LengthUnit
  axis: Axis
  /** Something told that the machine feeds otherwise today. */
  isOtherToday: boolean
}) {
  const setting = settingInRange(formatDial(found.dial, axis), axis.range?.name)
  const { dial95, feedMmPerMin, interval95, next95, nearest } = found
  return (
    <>
      <p class="strong">
        {found.by === 'feed'
          ? `${isOtherToday ? 'On another day set' : 'Set'} the dial to ${setting}${dial95 === null ? '' : ` (95 %: ${formatDial(dial95[0], axis)} … ${formatDial(dial95[1], axis)})`}`
          : `${isOtherToday ? 'On another day dial' : 'Dial'} ${setting} gives ${feedWords(feedMmPerMin, interval95, unit)}`}
      </p>
      <p>
        {withinWords(feedMmPerMin, interval95)} for the mean of this setting over all days; next time you set
        it, on any day: {formatInterval(next95, unit)} {feedUnit(unit)}, with 95 % probability.
        {nearest !== null &&
          ` The nearest mark, ${formatDial(nearest.dial, axis)}, is off by ${nearest.offPercent >= 0 ? '+' : ''}${nearest.offPercent.toFixed(1)} %.`}
        {found.cannotTellApart !== null && ` ${found.cannotTellApart}`}
      </p>
    </>
  )
}

/** The same question answered for the present session. */
export function TodayAnswer({
  today,
  question,
  unit,
  axis,
}: {
  today: NonNullable<LookupTables['today']>
  question: Pick<Asked, 'by' | 'text'>
  unit: LengthUnit
  axis: Axis
}) {
  const found = lookUp({ ...today.table, unit }, question, axis.range)
  // The answer for any day stands below, and must not pass for that of today.
  if (found.kind === 'refused') return today.sentence && <p class="strong">Today: {found.message}</p>
  return (
    <>
      <p class="strong">
        Today:{' '}
        {question.by === 'feed'
          ? `dial ${settingInRange(formatDial(found.dial, axis), axis.range?.name)}`
          : `${feedWords(found.feedMmPerMin, found.interval95, unit)}, ${withinWords(found.feedMmPerMin, found.interval95)}`}
      </p>
      <p>
        Next time you set it today: {formatInterval(found.next95, unit)} {feedUnit(unit)}.
      </p>
      <TodaySentence today={today} />
    </>
  )
}

/** Where nothing tells of the present session: at which mark a check run would tell most of an answer. */
export function WorthOfCheckRun({ days, found }: { days: LookupTables; found: Found }) {
  const { anyDay, dayToSee } = days
  if (dayToSee === null || found.next95 === null) return null
  const worth = worthOfCheck(anyDay, { dayToSee }, found.dial, found.next95)
  if (worth === null) return null
  return (
    <p class="quiet">
      {capitalized(checkRunSentence({ ...worth, ...writingOf(anyDay) }))}.{' '}
      <a href="#/check/today">Make a check run</a>
    </p>
  )
}
