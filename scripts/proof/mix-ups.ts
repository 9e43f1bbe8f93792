import { ingestLines, LineAssembler, type StampedLine } from '../../src/ingest/index.js'
import { checkTakes } from '../../src/jobs/record/check-takes.js'
import { judgeReadoutTakes } from '../../src/jobs/record/judge-takes.js'
import {
  arrivingChunks,
  INCH_READOUT,
  readoutLines,
  type SimulatedReadout,
  seededRandom,
  simulateRun,
  USB_LINK,
} from '../../src/simulation/index.js'
import type { RunJudgement } from '../../src/store/index.js'
import { type LengthUnit, MM_PER_INCH } from '../../src/units/index.js'
import { FAMILIES } from './machines/dial-families.js'
import { drawnMill, pick } from './machines/drawn-mill.js'

/** What became of the runs of one simulated call. */
export interface CheckedRuns {
  /** Runs that were judged as sound before they were held against the machine. */
  readonly runs: number
  readonly refused: number
  /** Accepted with a warning that the unit is not shown. */
  readonly warned: number
}

/** Readouts whose lines carry no unit: usual steps of both units, 5 to 40 lines a second. */
const READOUTS: readonly SimulatedReadout[] = [
  { ...INCH_READOUT, stepMm: 0.0002 * MM_PER_INCH },
  { ...INCH_READOUT, stepMm: 0.0005 * MM_PER_INCH, refreshHz: 5 },
  { ...INCH_READOUT, stepMm: 0.001 * MM_PER_INCH, refreshHz: 20 },
  { ...INCH_READOUT, unit: 'mm', stepMm: 0.001, refreshHz: 40 },
  { ...INCH_READOUT, unit: 'mm', stepMm: 0.005 },
  { ...INCH_READOUT, unit: 'mm', stepMm: 0.01, refreshHz: 5 },
]
/** A few settings, each several times, low ones among them: what a low mark scatters is the hardest case. */
const DIALS = [1, 1, 3, 3, 6, 10, 10]

/**
 * One call of right runs, or of runs whose numbers are in another unit than the machine's, which they are taken in.
 *
 * @param how `right`, or `swapped`: inch numbers on a metric machine and the other way round
 */
export function checkedCall(how: 'right' | 'swapped', seed: number): CheckedRuns {
  const random = seededRandom(seed)
  const mill = drawnMill(pick(random, FAMILIES), seed + 1)
  const readout = pick(random, READOUTS)
  const pitchKnown = random.uniform() < 0.7
  const other: LengthUnit = readout.unit === 'in' ? 'mm' : 'in'
  const unit = how === 'right' ? readout.unit : other
  const recorded = DIALS.map((dial, k) => {
    const direction = k % 2 === 0 ? (1 as const) : (-1 as const)
    const request = { dial, direction, drivenMm: 0.85 * mill.travelMm, longestS: 10 + 20 * random.uniform() }
    const { motion } = simulateRun(mill, request, seed + 10 * k)
    const lines: StampedLine[] = []
    const assembler = new LineAssembler({
      onLine: (line) => lines.push(line),
      onRejected: () => undefined,
      dropFirst: false,
    })
    for (const { bytes, arrivalS } of arrivingChunks(readoutLines(motion, readout, seed + k), USB_LINK, seed))
      assembler.push(bytes, arrivalS)
    return { dial, take: ingestLines(lines, { axis: 'X', bareUnit: unit }) }
  })
  const axis = { leadscrewPitchMm: pitchKnown ? mill.leadscrewPitchMm : null }
  const judged = judgeReadoutTakes(
    recorded.map(({ take }) => take),
    axis,
  )
  const reading = { source: 'readout', unit, countLengthMm: null, basis: 'assumed' } as const
  const takes = recorded.map(({ dial }, k) => ({
    dial,
    reading,
    stepTells: true,
    tags: {},
    runs: judged[k]!,
  }))
  const checked = checkTakes(
    { name: 'X', travelMm: mill.travelMm, unit },
    { tables: [], runs: [] },
    takes,
  ).flat()
  const before = judged.flat()
  const sound = checked.filter((_, k) => before[k]!.rejection === null)
  return {
    runs: sound.length,
    refused: sound.filter(({ rejection }) => rejection !== null).length,
    warned: sound.filter((run) => run.rejection === null && warnsOfUnit(run)).length,
  }
}

function warnsOfUnit({ warnings }: RunJudgement): boolean {
  return warnings.some(({ code }) => code.includes('unit-'))
}
