import type { DialAnswer, FeedAnswer } from '../../planning/index.js'
import { standingWarnings } from '../../planning/lookup/standing-warnings.js'
import type { FeedTable } from '../../regression/index.js'
import {
  feedUnit,
  formatDial,
  formatFeed,
  formatInterval,
  formatPercentHalfWidth,
  type LengthUnit,
  labelled,
  settingInRange,
} from '../../units/index.js'
import { feedJson, feedQuantity, intervalJson, tableReference } from '../json-shapes.js'
import { tableTitle } from '../render/feed-table.js'

/** The answer to `dial FEED` as JSON. */
export function dialJson(
  feedMmPerMin: number,
  answer: DialAnswer,
  table: FeedTable,
): Record<string, unknown> {
  const { unit } = table
  return labelled(
    {
      target: feedQuantity(feedMmPerMin, unit),
      dial: answer.dial,
      feed: feedJson(answer.feed, unit),
      nextSetting95: intervalJson(answer.nextSetting95, unit),
      nearestMark: {
        dial: answer.nearestMark.dial,
        feed: feedJson(answer.nearestMark.feed, unit),
        nextSetting95: intervalJson(answer.nearestMark.nextSetting95, unit),
        offPercent: answer.nearestMark.offPercent,
      },
      cannotTellApart: answer.cannotTellApart,
      ...(table.scatter === undefined ? {} : { scatter: table.scatter }),
      warnings: standingWarnings(table, answer.dial.value),
      table: tableReference(table),
    },
    table,
  )
}

/** The answer to `feed DIAL` as JSON. */
export function feedAnswerJson(answer: FeedAnswer, table: FeedTable): Record<string, unknown> {
  return labelled(
    {
      dial: answer.dial,
      feed: feedJson(answer.feed, table.unit),
      nextSetting95: intervalJson(answer.nextSetting95, table.unit),
      from: answer.from,
      ...(table.scatter === undefined ? {} : { scatter: table.scatter }),
      warnings: standingWarnings(table, answer.dial),
      table: tableReference(table),
    },
    table,
  )
}

/** The answer to `dial FEED` as one reads it at the machine; `day` where it is known which day it is for. */
export function renderDial(
  feedMmPerMin: number,
  answer: DialAnswer,
  table: FeedTable,
  day: AnswerDay = UNSAID,
): string {
  const { unit } = table
  const { dial, nearestMark } = answer
  const either = dial.interval95
    ? `  (95 %: ${formatDial(dial.interval95[0], table)} … ${formatDial(dial.interval95[1], table)})`
    : ''
  const target = formatFeed(feedMmPerMin, answer.feed.interval95, unit)
  const off = `${nearestMark.offPercent >= 0 ? '+' : ''}${nearestMark.offPercent.toFixed(1)} %`
  return [
    `For ${target} ${feedUnit(unit)} set the dial to ${formatDial(dial.value, table)}${either}`,
    ...describeFeed('  gives', answer, unit, day),
    ...day.lines,
    `  nearest mark ${formatDial(nearestMark.dial, table)}: ${formatFeed(nearestMark.feed.feedMmPerMin, nearestMark.feed.interval95, unit)} ${feedUnit(unit)}, ${off} of what you want`,
    ...(answer.cannotTellApart === null ? [] : [`  ${answer.cannotTellApart}`]),
    `  ${tableTitle(table)}`,
    ...standingText(table, dial.value),
  ].join('\n')
}

/**
 * The answer to `feed DIAL` as one reads it at the machine.
 *
 * @param range the range that the setting stands in, where the dial has several
 */
export function renderFeed(
  answer: FeedAnswer,
  table: FeedTable,
  day: AnswerDay = UNSAID,
  range?: string,
): string {
  const setting = settingInRange(formatDial(answer.dial, table), range)
  return [
    ...describeFeed(`Dial ${setting} gives`, answer, table.unit, day),
    ...day.lines,
    `  ${tableTitle(table)}`,
    ...standingText(table, answer.dial),
  ].join('\n')
}

/** What stands against a table as long as it is the table, one line each. */
export function standingText(table: FeedTable, dial?: number): string[] {
  return standingWarnings(table, dial).map((warning) => `  Note: ${warning.message}`)
}

/** Which day an answer is for, and what is said of the days below it. */
export interface AnswerDay {
  readonly isFor: 'any day' | 'today' | null
  readonly lines: readonly string[]
}

const UNSAID: AnswerDay = { isFor: null, lines: [] }

/** A feed with its uncertainty and where it lies the next time, in two lines. */
export function describeFeed(
  opening: string,
  { feed, nextSetting95 }: Pick<FeedAnswer, 'feed' | 'nextSetting95'>,
  unit: LengthUnit,
  { isFor }: AnswerDay = UNSAID,
): string[] {
  const size = `${formatFeed(feed.feedMmPerMin, feed.interval95, unit)} ${feedUnit(unit)}`
  if (feed.interval95 === null) {
    return [`${opening} ${size}; its uncertainty is not known, because no setting was measured twice`]
  }
  const half = formatPercentHalfWidth(feed.feedMmPerMin, feed.interval95)
  const mean = isFor === 'any day' ? 'the mean of this setting over all days' : 'the mean of this setting'
  const next = isFor === null ? '' : isFor === 'today' ? ' today' : ', on any day'
  return [
    `${opening} ${size} (${half} for ${mean}, 95 %)`,
    `  next time you set it${next}: ${formatInterval(nextSetting95, unit)} ${feedUnit(unit)} with 95 % probability`,
  ]
}
