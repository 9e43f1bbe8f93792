import { LineAssembler, type StampedLine } from '../../ingest/index.js'
import { type Procedure, planSession, suggestedTravel, wantedTravel } from '../../planning/index.js'
import type { FeedTable } from '../../regression/index.js'
import {
  arrivingChunks,
  INCH_READOUT,
  type RunTruth,
  readoutLines,
  type SimulatedMill,
  simulateRun,
  USB_LINK,
} from '../../simulation/index.js'
import type { Axis, Machine, MachineAxis, Run, Store } from '../../store/index.js'
import type { Direction } from '../../traverse/index.js'
import { recordReadoutTakes } from '../record/record-takes.js'
import type { TakeOutcome } from '../record/takes.js'

/** Adds the simulated mill to a store as a user would. */
export function addSimulatedMill(store: Store, mill: SimulatedMill, nowIso: string): MachineAxis {
  const { name, unit, spindleRpm } = mill
  const machine: Machine = store.machines.add({ name, unit, spindleRpm }, nowIso)
  const axis: Axis = store.axes.add(
    machine.id,
    {
      name: mill.axis,
      travelMm: mill.travelMm,
      dialMin: mill.dialMin,
      dialMax: mill.dialMax,
      marks: mill.marks,
      stepped: mill.stepped,
      leadscrewPitchMm: mill.leadscrewPitchMm,
      dialClicks: false,
    },
    nowIso,
  )
  return { machine, axis }
}

/** One simulated run: what the program made of it, and what was really so. */
export interface DemoRun {
  readonly done: number
  readonly total: number
  readonly outcome: TakeOutcome<Run>
  readonly truth: RunTruth
}

/**
 * Follows a procedure on the simulated mill, run by run: the readout's bytes go through the same line assembler,
 * store and judgement as a real port's. The truth is handed out beside the outcome and enters nothing.
 *
 * @param seed the same seed gives the same bytes
 */
export async function* simulatedCalibration(
  store: Store,
  axis: Axis,
  mill: SimulatedMill,
  procedure: Procedure,
  session: { readonly seed: number; readonly startedAt: string },
): AsyncGenerator<DemoRun> {
  const { steps } = planSession(procedure, axis)
  for (const [index, { dial, direction }] of steps.entries()) {
    const seed = session.seed + 7919 * index
    const travel = suggestedTravel({ ...wantedTravel(procedure, axis), feedMmPerMin: mill.curve(dial) })
    const run = simulateRun(mill, { dial, direction, drivenMm: travel.distanceMm }, seed)
    const chunks = arrivingChunks(readoutLines(run.motion, INCH_READOUT, seed + 1), USB_LINK, seed + 2)
    const take = {
      dial,
      origin: 'simulated readout',
      settings: { profile: null, bareUnit: mill.unit, countLengthMm: null, fromSpreadsheet: false },
      lines: assembledLines(chunks),
    }
    const [outcome] = await recordReadoutTakes(store, axis, [take], {
      dialReset: procedure.resetDial,
      tags: {},
      note: null,
      startedAt: session.startedAt,
    })
    yield { done: index + 1, total: steps.length, outcome: outcome!, truth: run.truth }
  }
}

/** A line of the comparison with the simulated truth. */
export interface TruthComparison {
  readonly dial: number
  readonly direction: Direction
  readonly trueFeedMmPerMin: number
  readonly feedMmPerMin: number
  readonly interval95: readonly [number, number] | null
  readonly inside: boolean
}

/** Holds a fitted table against the simulated truth, at its marks and between them. */
export function compareWithTruth(
  table: FeedTable,
  mill: SimulatedMill,
): { readonly marks: TruthComparison[]; readonly curve: TruthComparison[] } {
  const factor = table.direction === 1 ? 1 : mill.minusFactor
  const compare = (point: Pick<TruthComparison, 'dial' | 'feedMmPerMin' | 'interval95'>): TruthComparison => {
    const { dial, feedMmPerMin, interval95 } = point
    const trueFeedMmPerMin = mill.curve(dial) * factor
    const inside =
      interval95 !== null && interval95[0] <= trueFeedMmPerMin && trueFeedMmPerMin <= interval95[1]
    return { dial, direction: table.direction, trueFeedMmPerMin, feedMmPerMin, interval95, inside }
  }
  return { marks: table.marks.map(compare), curve: table.curve.map(compare) }
}

function assembledLines(chunks: Iterable<{ bytes: Buffer; arrivalS: number }>): StampedLine[] {
  const lines: StampedLine[] = []
  const assembler = new LineAssembler({
    onLine: (line) => lines.push(line),
    onRejected: () => {},
    dropFirst: true,
  })
  let endS = 0
  for (const { bytes, arrivalS } of chunks) {
    assembler.push(bytes, arrivalS)
    endS = arrivalS
  }
  assembler.end(endS)
  return lines
}
