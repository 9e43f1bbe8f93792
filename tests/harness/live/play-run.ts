import {
  QUILLFEN_MILL,
  type RunTruth,
  readoutLines,
  type SimulatedReadout,
  simulateRun,
} from '../../../src/simulation/index.js'
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

/** Plays one simulated run through a pseudo-terminal, in its own time; ends when the table has rested. */
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
    /** What is done while the table stands as it was at this time, s; for readouts in played time. */
    readonly meanwhile?: { readonly atS: number; readonly work: () => Promise<void> }
  },
): Promise<RunTruth> {
  const mill = QUILLFEN_MILL
  const drivenMm = (mill.curve(run.dial) * run.travelS) / 60
  const { motion, truth } = simulateRun(
    mill,
    { dial: run.dial, direction: run.direction, drivenMm, restBeforeS: 1.5, restAfterS: run.restAfterS },
    run.seed,
  )
  const until = readout.startTime()
  let { meanwhile } = run
  for (const { sampledS, bytes } of readoutLines(motion, run.readout ?? LIVE_READOUT, run.seed)) {
    if (sampledS > (run.untilS ?? Number.POSITIVE_INFINITY)) break
    await until(sampledS)
    if (meanwhile !== undefined && sampledS >= meanwhile.atS) {
      await readout.heard()
      await meanwhile.work()
      meanwhile = undefined
    }
    readout.write(run.change?.(bytes, sampledS) ?? bytes)
  }
  return truth
}
