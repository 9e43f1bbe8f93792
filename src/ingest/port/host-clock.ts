import { setTimeout as sleep } from 'node:timers/promises'

/** Takes back what was asked of a clock. */
export type Undo = () => void

/**
 * The clock of this computer, as far as a live readout needs it: it stamps what arrives and times the waiting. It is
 * passed in wherever time matters, so that a test may play an hour of lines in a second.
 */
export interface HostClock {
  /** Time that only goes forward, s. On some systems it stands still while the computer sleeps. */
  readonly nowS: () => number
  /** Time of day, s. It goes on while the computer sleeps, and may be set by hand. */
  readonly wallS: () => number
  /** Does the work once, `delayS` from now. */
  readonly after: (delayS: number, work: () => void) => Undo
  /** Does the work every `periodS`. */
  readonly every: (periodS: number, work: () => void) => Undo
  /** Resolves `delayS` from now, also while no port is open. @throws AbortError when the signal is aborted */
  readonly pause: (delayS: number, signal: GivenUp) => Promise<void>
  /** Tells when bytes that are handed over by a port arrived: now, all at once. */
  readonly stamped: (bytes: Uint8Array) => Iterable<StampedBytes>
}

/** An `AbortSignal`, in words that need no types of Node: the library's own types are read without them. */
export interface GivenUp {
  readonly aborted: boolean
}

/** Bytes of a port with their arrival, s of `HostClock.nowS`. */
export interface StampedBytes {
  readonly bytes: Uint8Array
  readonly arrivalS: number
}

/** The monotonic clock of the process, s. */
export function monotonicS(): number {
  return Number(process.hrtime.bigint()) / 1e9
}

const SYSTEM_CLOCK: HostClock = {
  nowS: monotonicS,
  wallS: () => Date.now() / 1000,
  after: (delayS, work) => {
    const timer = setTimeout(work, 1000 * delayS)
    return () => clearTimeout(timer)
  },
  every: (periodS, work) => {
    const timer = setInterval(work, 1000 * periodS)
    return () => clearInterval(timer)
  },
  pause: (delayS, signal) => sleep(1000 * delayS, undefined, { signal: signal as AbortSignal }),
  stamped: (bytes) => [{ bytes, arrivalS: monotonicS() }],
}

/** Where a development tool that is loaded before the program leaves a clock of its own. */
const OTHER_CLOCK = Symbol.for('tablepace.hostClock')

/** The clock that live readouts are timed by: the system's, unless a development tool has set another. */
export function hostClock(): HostClock {
  return (globalThis as { [OTHER_CLOCK]?: HostClock })[OTHER_CLOCK] ?? SYSTEM_CLOCK
}
