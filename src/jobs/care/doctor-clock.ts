import { monitorEventLoopDelay } from 'node:perf_hooks'
import { setTimeout as sleep } from 'node:timers/promises'
import { monotonicS } from '../../ingest/index.js'
import type { Finding } from './doctor.js'

/** How long the clocks are watched, ms. Judgement: as long as a person waits; a set clock shows at once. */
const WATCHED_MS = 1000
/**
 * How far both clocks may differ over the time watched, s. Judgement: the reading of either is good to a few ms,
 * and a clock that is being set moves by far more.
 */
const AGREE_S = 0.02
/**
 * Time, ms, that the program may be held up. Derived: lines are stamped late by as much; 50 ms at both ends of 20
 * s is 0.25 % of a feed.
 */
const HELD_UP_MS = 50
/** Earlier than this program, so that the clock was never set (by definition). */
const NOT_BEFORE = Date.UTC(2026, 0, 1)

/** What watching the clocks came to. */
interface ClockReadings {
  readonly wallMs: number
  /** By how much the wall clock ran ahead of the monotonic one meanwhile, s. */
  readonly drift: number
  /** The longest the program was held up, ms. */
  readonly heldUpMs: number
}

/** Watches the clocks for a second and judges them. */
export async function checkClocks(): Promise<Finding[]> {
  return judgeClocks(await watchClocks())
}

/** Whether dates, durations and arrival times of this computer can be relied on. */
export function judgeClocks({ wallMs, drift, heldUpMs }: ClockReadings): Finding[] {
  const findings: Finding[] = []
  const look = (finding: string, wayOut: string): void => {
    findings.push({ check: 'clock', state: 'look', finding, wayOut })
  }
  if (wallMs < NOT_BEFORE) {
    look(
      `The clock of this computer says ${new Date(wallMs).toISOString().slice(0, 10)}.`,
      'Set date and time: tables and rechecks are dated by them.',
    )
  }
  if (Math.abs(drift) > AGREE_S) {
    look(
      `The clock of this computer jumped by ${drift.toFixed(2)} s within a second.`,
      'Durations do not rest on it, but set it before a session, not during one.',
    )
  }
  if (heldUpMs > HELD_UP_MS) {
    look(
      `This computer is busy: the program was held up for up to ${Math.round(heldUpMs)} ms, and lines are stamped as late.`,
      'Close what keeps it busy before recording live.',
    )
  }
  if (findings.length > 0) return findings
  const finding = `The clocks agree, and lines are stamped within ${heldUpMs.toFixed(1)} ms of their arrival.`
  return [{ check: 'clock', state: 'ok', finding, wayOut: null }]
}

async function watchClocks(): Promise<ClockReadings> {
  const resolutionMs = 5
  const delays = monitorEventLoopDelay({ resolution: resolutionMs })
  const startedS = monotonicS()
  const startedMs = Date.now()
  delays.enable()
  await sleep(WATCHED_MS)
  delays.disable()
  const wallMs = Date.now()
  return {
    wallMs,
    drift: (wallMs - startedMs) / 1000 - (monotonicS() - startedS),
    // The histogram counts its own interval in.
    heldUpMs: Math.max(0, delays.max / 1e6 - resolutionMs),
  }
}
