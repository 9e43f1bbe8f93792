import { DataError } from '../../errors/index.js'
import type { TableOnDays, TableToday } from '../../jobs/index.js'
import { worthOfCheck } from '../../planning/days/index.js'
import type { DialAnswer, FeedAnswer } from '../../planning/index.js'
import type { StoredTable } from '../../store/index.js'
import { feedUnit, formatInterval, type LengthUnit, writeDial, writingOf } from '../../units/index.js'
import { checkRunSentence, noRunSentence, shiftSentence } from '../../words/day-shift.js'
import { feedJson, intervalJson } from '../json-shapes.js'
import { argument } from '../wording.js'
import type { AnswerDay } from './lookup-answers.js'

/** What a lookup answers on the days that it may be asked for. */
interface AnswersOnDays<A> {
  readonly days: TableOnDays
  readonly anyDay: A
  /** From the table as it is in the session; null where nothing tells of it. */
  readonly today: AnswerToday<A> | null
}

interface AnswerToday<A> {
  readonly day: TableToday
  /** Null where the session's table does not reach as far. */
  readonly answer: A | null
}

/**
 * Asks a table on any day and, where something tells of it, in the session.
 *
 * @throws what `ask` throws for any day
 */
export function onEachDay<A>(days: TableOnDays, ask: (table: StoredTable) => A): AnswersOnDays<A> {
  const anyDay = ask(days.anyDay)
  const day = days.today
  return { days, anyDay, today: day === null ? null : { day, answer: answerOrNull(() => ask(day.table)) } }
}

function answerOrNull<A>(ask: () => A): A | null {
  try {
    return ask()
  } catch (error) {
    // A feed that the machine reaches on other days alone.
    if (error instanceof DataError) return null
    throw error
  }
}

/** The field `today` of an answer's JSON. */
export function todayJson(
  today: AnswerToday<DialAnswer | FeedAnswer> | null,
  unit: LengthUnit,
): Record<string, unknown> | null {
  if (today === null) return null
  const { day, answer } = today
  return {
    session: day.session,
    ...(answer !== null && typeof answer.dial === 'object' ? { dial: answer.dial } : {}),
    feed: answer === null ? null : feedJson(answer.feed, unit),
    nextSetting95: answer === null ? null : intervalJson(answer.nextSetting95, unit),
    shiftPercent: day.shift,
    checkRuns: day.checkRuns,
  }
}

/** The answer that a person is shown: today's where something tells of today, else that for any day. */
export function shown<A extends DialAnswer | FeedAnswer>(
  answers: AnswersOnDays<A>,
  unit: LengthUnit,
): { readonly answer: A; readonly asked: StoredTable; readonly day: AnswerDay } {
  const { days, anyDay, today } = answers
  const lines = dayText(answers, unit)
  if (today === null || today.answer === null) {
    return { answer: anyDay, asked: days.anyDay, day: { isFor: 'any day', lines } }
  }
  return { answer: today.answer, asked: today.day.table, day: { isFor: 'today', lines } }
}

/** For which day an answer holds, in words, below it. */
function dayText(
  { days, anyDay, today }: AnswersOnDays<DialAnswer | FeedAnswer>,
  unit: LengthUnit,
): string[] {
  if (anyDay.nextSetting95 === null) return []
  if (today !== null) {
    const next = `${formatInterval(anyDay.nextSetting95, unit)} ${feedUnit(unit)}`
    return [
      ...(today.answer === null ? ['  Today the machine does not give this feed.'] : []),
      ...(today.day.runs > 0 ? [`  ${shiftSentence(today.day)}`] : []),
      ...(today.answer === null ? [] : [`  on another day: ${next}`]),
    ]
  }
  return checkLine(
    days,
    anyDay.nextSetting95,
    typeof anyDay.dial === 'number' ? anyDay.dial : anyDay.dial.value,
  )
}

/**
 * At which mark a check run tells most of an answer, and how. A session that was asked for by its name is told to have no
 * run whatever a check run is worth.
 *
 * @param anyDay the answer's next setting on any day, mm/min
 */
function checkLine(days: TableOnDays, anyDay: readonly [number, number], dial: number): string[] {
  const worth = worthOfCheck(days.asMeasured, days.knowledge, dial, anyDay)
  const { named } = days
  if (worth === null) return named === undefined ? [] : [`  ${noRunSentence(named)}`]
  const writing = writingOf(days.asMeasured)
  return [
    `  ${checkRunSentence({ ...worth, ...writing }, named)} (\`tablepace traverse --check --dial ${writeDial(worth.dial, writing)} ${named === undefined ? '' : `--session ${argument(named)} `}…\`)`,
  ]
}
