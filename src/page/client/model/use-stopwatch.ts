import { useEffect, useMemo, useState } from 'preact/hooks'
import { type Press, StopwatchTimer } from '../../../ingest/recordings/stopwatch-timer.js'
import type { ClockExchange } from '../../api.js'
import { exchangeClocks, phoneTimeS } from './phone-clock.js'
import type { TimedSetting } from './timed-setting.js'

const KEPT_AS = 'tablepace.presses'
/**
 * How often the clocks are compared anew while the watch is ready, ms. Derived: at 50 ppm two clocks part by 1 ms
 * in that time.
 */
const COMPARE_EVERY_MS = 20_000

/** A stopwatch whose presses survive a reload. */
export interface Stopwatch {
  readonly timer: StopwatchTimer
  /** What the timing under way is for, settled at its first press; null before. */
  readonly setting: TimedSetting | null
  readonly change: (setting: TimedSetting) => void
  /** @param now what is timed where this press begins it */
  readonly press: (event: Event, now: TimedSetting) => void
  readonly mark: (event: Event) => void
  readonly undo: () => void
  readonly reset: () => void
  /** The comparison of clocks that belongs to the presses; empty where none could be made. */
  readonly clockBefore: readonly ClockExchange[]
}

interface Kept {
  readonly presses: readonly Press[]
  readonly clock: readonly ClockExchange[]
  readonly setting: TimedSetting | null
}

/** The watch of this device; one of the view. */
export function useStopwatch(): Stopwatch {
  const [, setCount] = useState(0)
  const kept = useMemo(readKept, [])
  const timer = useMemo(() => restored(kept.presses), [kept])
  const clock = useMemo(() => ({ before: kept.clock }), [kept])
  const purpose = useMemo(() => ({ setting: timer.state === 'ready' ? null : kept.setting }), [kept, timer])
  const keep = (): void => {
    localStorage.setItem(
      KEPT_AS,
      JSON.stringify({
        presses: timer.presses,
        clock: clock.before,
        setting: purpose.setting,
      } satisfies Kept),
    )
    setCount((count) => count + 1)
  }
  useEffect(() => {
    const compare = async (): Promise<void> => {
      // Only before the start: what belongs to a timing under way stays.
      if (timer.state !== 'ready' && clock.before.length > 0) return
      try {
        const exchanges = await exchangeClocks()
        if (timer.state === 'ready' || clock.before.length === 0) clock.before = exchanges
      } catch {
        // Without a connection the timing goes on; the clock is then not compared.
      }
    }
    void compare()
    const every = setInterval(compare, COMPARE_EVERY_MS)
    document.addEventListener('visibilitychange', compare)
    return () => {
      clearInterval(every)
      document.removeEventListener('visibilitychange', compare)
    }
  }, [timer, clock])
  return {
    timer,
    clockBefore: clock.before,
    setting: purpose.setting,
    change: (setting) => {
      purpose.setting = setting
      keep()
    },
    press: (event, now) => {
      if (timer.state === 'ready') purpose.setting = now
      timer.press(phoneTimeS(event))
      keep()
    },
    mark: (event) => {
      timer.mark(phoneTimeS(event))
      keep()
    },
    undo: () => {
      timer.undo()
      if (timer.state === 'ready') purpose.setting = null
      keep()
    },
    reset: () => {
      while (timer.undo() !== null);
      purpose.setting = null
      clock.before = []
      keep()
      void exchangeClocks()
        .then((exchanges) => {
          clock.before = exchanges
        })
        .catch(() => {})
    },
  }
}

/** The presses are played back in order, which leads to the same state. */
function restored(presses: readonly Press[]): StopwatchTimer {
  const timer = new StopwatchTimer()
  for (const { kind, timeS } of presses) {
    if (kind === 'mark') timer.mark(timeS)
    else timer.press(timeS)
  }
  return timer
}

function readKept(): Kept {
  const none = { presses: [], clock: [], setting: null }
  try {
    return { ...none, ...(JSON.parse(localStorage.getItem(KEPT_AS) ?? '{}') as Partial<Kept>) }
  } catch {
    return none
  }
}
