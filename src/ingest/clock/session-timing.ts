import type { IngestedSamples } from '../recordings/sample-series.js'
import { fitDeviceClock, type PooledClockRate, poolClockRates } from './device-clock.js'
import { expectedWireTime, type WireTime } from './wire-time.js'

/** What the recordings of one session tell together about their times. */
interface SessionTiming {
  /** Rate of the readout's own clock; null without a sound one. */
  readonly deviceClock: PooledClockRate | null
  /** What a byte takes on the wire. */
  readonly wireTime: WireTime
}

/**
 * Rates the readout's own clock, where it has one, against the host's over all recordings of a session, since one
 * short recording tells its rate too coarsely; and finds the time of a byte on the wire from the lines, as far as
 * their lengths vary beside such a clock.
 *
 * @param takes those to be timed
 * @param before earlier ones of the same session, which tell about the same clock and wire
 */
export function sessionTiming(
  takes: readonly Pick<IngestedSamples, 'samples' | 'baudRate'>[],
  before: readonly Pick<IngestedSamples, 'samples'>[] = [],
): SessionTiming {
  const bauds = new Set(takes.map(({ baudRate }) => baudRate))
  const [baudRate] = bauds
  const expected = expectedWireTime(bauds.size === 1 ? (baudRate ?? undefined) : undefined)
  const fits = [...before, ...takes].flatMap(({ samples: { timeS, deviceTimeS, lineBytes } }) =>
    deviceTimeS === null ? [] : (fitDeviceClock(timeS, deviceTimeS, lineBytes ?? null, expected) ?? []),
  )
  const { rate, wireTime } = poolClockRates(fits, expected)
  return { deviceClock: rate, wireTime }
}
