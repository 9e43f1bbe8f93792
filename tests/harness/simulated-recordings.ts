import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import {
  arrivingChunks,
  INCH_READOUT,
  jsonlRecording,
  QUILLFEN_MILL,
  type RunTruth,
  readoutLines,
  type SimulatedMill,
  type SimulatedReadout,
  simulateRun,
  USB_LINK,
} from '../../src/simulation/index.js'

/** A recording of one simulated run, on disk. */
export interface RecordedRun {
  readonly path: string
  /** As `--from` takes it. */
  readonly argument: string
  readonly truth: RunTruth
}

/** Records one run of a simulated mill into a `.jsonl` file. */
export function recordRun(
  folder: string,
  run: {
    readonly dial: number
    readonly direction: 1 | -1
    readonly seed: number
    readonly travelS?: number
    readonly mill?: SimulatedMill
    readonly readout?: SimulatedReadout
  },
): RecordedRun {
  const mill = run.mill ?? QUILLFEN_MILL
  const drivenMm = Math.min(0.8 * mill.travelMm, (mill.curve(run.dial) * (run.travelS ?? 15)) / 60)
  const { motion, truth } = simulateRun(
    mill,
    { dial: run.dial, direction: run.direction, drivenMm },
    run.seed,
  )
  const lines = readoutLines(motion, run.readout ?? INCH_READOUT, run.seed + 1)
  const path = join(folder, `dial-${run.dial}-${run.direction}-${run.seed}.jsonl`)
  writeFileSync(path, jsonlRecording(arrivingChunks(lines, USB_LINK, run.seed + 2)))
  return { path, argument: `${run.dial}=${path}`, truth }
}

/** Records a whole session: every mark, both directions, several times. */
export function recordSession(
  folder: string,
  session: {
    readonly marks: readonly number[]
    readonly repeats: number
    readonly seed: number
    readonly travelS?: number
  },
): RecordedRun[] {
  const { travelS } = session
  let seed = session.seed
  const runs: RecordedRun[] = []
  for (let repeat = 0; repeat < session.repeats; repeat += 1) {
    for (const dial of session.marks) {
      for (const direction of [1, -1] as const) {
        seed += 10
        runs.push(recordRun(folder, { dial, direction, seed, ...(travelS !== undefined && { travelS }) }))
      }
    }
  }
  return runs
}
