import { UsageError } from '../../errors/index.js'
import type { FeedEstimate, IntervalMmPerMin } from '../../regression/index.js'
import {
  fromMm,
  type LengthUnit,
  parseFeedAtRpmMmPerMin,
  parseFeedMmPerMin,
  parseNumber,
} from '../../units/index.js'
import { intervalJson } from '../json-shapes.js'

/** A spindle speed that a feed is told by the turn for. */
export interface RpmOption {
  readonly rpm?: string
}

/** The spindle speed that was given, rpm; null without one. @throws UsageError `bad-rpm` */
export function rpmAsked({ rpm }: RpmOption): number | null {
  if (rpm === undefined) return null
  const value = parseNumber(rpm, '--rpm')
  if (value > 0) return value
  throw new UsageError(
    'bad-rpm',
    'A spindle speed must be above 0.',
    'Give it in turns a minute, like --rpm 320.',
  )
}

/** The wanted feed in mm/min. @throws UsageError `rpm-missing` for a feed a turn without a spindle speed */
export function feedAsked(text: string, unit: LengthUnit, rpm: number | null): number {
  if (rpm !== null) return parseFeedAtRpmMmPerMin(text, unit, rpm, 'feed')
  try {
    return parseFeedMmPerMin(text, unit, 'feed')
  } catch (cause) {
    if (!(cause instanceof UsageError) || cause.code !== 'rpm-missing') throw cause
    throw new UsageError(cause.code, cause.message, 'Give the spindle speed as well, like --rpm 320.', {
      cause,
    })
  }
}

/** The feed of an answer by the turn, as the field `perTurn` of its JSON; no field without a spindle speed. */
export function perTurnJson(
  { feed, nextSetting95 }: PerTurnAnswer,
  unit: LengthUnit,
  rpm: number | null,
  targetMmPerMin: number | null = null,
): Record<string, unknown> {
  if (rpm === null) return {}
  const quantity = (mmPerMin: number) => ({ value: fromMm(mmPerMin, unit) / rpm, unit: `${unit}/rev` })
  const interval = (of: IntervalMmPerMin | null) =>
    intervalJson(of === null ? null : [of[0] / rpm, of[1] / rpm], unit)
  const perTurn = {
    rpm,
    ...(targetMmPerMin === null ? {} : { target: quantity(targetMmPerMin) }),
    feed: { ...quantity(feed.feedMmPerMin), interval95: interval(feed.interval95) },
    nextSetting95: interval(nextSetting95),
  }
  return { perTurn }
}

/** The same in a line for a person; none without a spindle speed. */
export function perTurnText(
  { feed, nextSetting95 }: PerTurnAnswer,
  unit: LengthUnit,
  rpm: number | null,
): string[] {
  if (rpm === null) return []
  const say = (mmPerMin: number) => fromMm(mmPerMin / rpm, unit).toFixed(unit === 'in' ? 5 : 4)
  const next =
    nextSetting95 === null
      ? ''
      : `; next time you set it: ${say(nextSetting95[0])} … ${say(nextSetting95[1])} with 95 % probability`
  return [`  at ${rpm} rpm: ${say(feed.feedMmPerMin)} ${unit}/rev${next}`]
}

interface PerTurnAnswer {
  readonly feed: FeedEstimate
  readonly nextSetting95: IntervalMmPerMin | null
}
