import { type IngestedSamples, ingestLines, LineAssembler, type StampedLine } from '../../src/ingest/index.js'
import {
  arrivingChunks,
  type ReadoutFaults,
  readoutLines,
  type TableMotion,
} from '../../src/simulation/index.js'
import type { ReadoutKind } from './machines/readout-kinds.js'

/** What the program makes of a motion that a readout watches: bytes, line assembler, lines, samples. */
export function observe(
  motion: TableMotion,
  kind: ReadoutKind,
  faults: ReadoutFaults,
  seed: number,
): IngestedSamples {
  const readout = { ...kind.readout, faults }
  const lines: StampedLine[] = []
  const assembler = new LineAssembler({
    onLine: (line) => lines.push(line),
    onRejected: () => undefined,
    dropFirst: faults.startsMidLine === true,
  })
  let endS = 0
  for (const { bytes, arrivalS } of arrivingChunks(
    readoutLines(motion, readout, seed),
    kind.link,
    seed + 1,
  )) {
    assembler.push(bytes, arrivalS)
    endS = arrivalS
  }
  assembler.end(endS)
  return ingestLines(lines, {
    axis: 'X',
    bareUnit: readout.unit,
    ...(readout.shape.kind === 'counts' ? { countLengthMm: readout.stepMm } : {}),
  })
}
