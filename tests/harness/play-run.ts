import { setTimeout as sleep } from 'node:timers/promises'
import {
  QUILLFEN_MILL,
  type RunTruth,
  readoutLines,
  type SimulatedReadout,
  simulateRun,
} from '../../src/simulation/index.js'
import type { PtyReadout } from './pty-readout.js'

/** A fast readout: live tests run in real time. */
export const LIVE_READOUT: SimulatedReadout = {
  shape: { kind: 'labelled', axis: 'X' },
  unit: 'in',
  stepMm: 0.0002 * 25.4,
  refreshHz: 40,
  deviceTime: null,
  terminator: '\r\n',
  faults: {},
}

/** Plays one simulated run through a pseudo-terminal in real time; ends when the table has rested. */
export async function playRun(
  readout: PtyReadout,
  run: {
    readonly dial: number
    readonly direction: 1 | -1
    readonly seed: number
    readonly travelS: number
    readonly restAfterS: number
    readonly readout?: SimulatedReadout
    /** Stops playing at this time, s. */
    readonly untilS?: number
    /** What becomes of each line on its way. */
    readonly change?: (bytes: Uint8Array, sampledS: number) => Uint8Array
    /** Stops playing when aborted: for a rest as long as it takes. */
    readonly signal?: AbortSignal
  },
): Promise<RunTruth> {
  const mill = QUILLFEN_MILL
  const drivenMm = (mill.curve(run.dial) * run.travelS) / 60
  const { motion, truth } = simulateRun(
    mill,
    { dial: run.dial, direction: run.direction, drivenMm, restBeforeS: 1.5, restAfterS: run.restAfterS },
    run.seed,
  )
  const startedMs = performance.now()
  for (const { sampledS, bytes } of readoutLines(motion, run.readout ?? LIVE_READOUT, run.seed)) {
    if (sampledS > (run.untilS ?? Number.POSITIVE_INFINITY)) break
    const waitMs = 1000 * sampledS - (performance.now() - startedMs)
    if (waitMs > 0) await sleep(waitMs)
    if (run.signal?.aborted) break
    readout.write(run.change?.(bytes, sampledS) ?? bytes)
  }
  return truth
}
