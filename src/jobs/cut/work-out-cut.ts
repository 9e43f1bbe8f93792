import { DataError, UsageError } from '../../errors/index.js'
import {
  answerCut,
  CUTTER_GEOMETRY,
  type CutAnswer,
  type CutField,
  type CutPass,
  type CutProblem,
  type CutterMaterial,
  conventionalTableMove,
  cutProblem,
  cutterKindNamed,
  type Rotation,
  type TableMove,
  type WantedCut,
  type WorkSide,
} from '../../planning/cut/index.js'
import { NO_CUT_ON_TURNING_AXIS } from '../../planning/cut/turning-axis.js'
import type { LoadCorrection } from '../../planning/load/index.js'
import type { Axis, CutNote, Machine, Store, StoredTable } from '../../store/index.js'
import type { Direction } from '../../units/index.js'
import { nowIso } from '../now.js'
import { onDays, type TableOnDays } from '../tables/days-of-table.js'
import { tableUnderLoad } from '../tables/table-under-load.js'
import { tableInForce } from '../tables/tables-told.js'
import { ownExperience } from './own-cut-notes.js'
import { type CuttingData, readCuttingData } from './read-cutting-data.js'
import { type StartingValues, startingValues } from './starting-values.js'

/** A cut that is asked for, in our units; null where nothing is said. */
export interface AskedCut {
  /** Name of a kind of cutter. */
  readonly cutter: string
  readonly pass: CutPass
  readonly diameterMm: number
  /** Null where it may be left out: a drill, a boring tool, a lathe tool, a fly cutter. */
  readonly teeth: number | null
  readonly materialName: string | null
  readonly cutterMaterial: CutterMaterial | null
  readonly cuttingSpeedMPerMin: number | null
  readonly chipLoadMm: number | null
  readonly widthMm: number | null
  readonly depthMm: number | null
  readonly stickOutMm: number | null
  readonly cornerRadiusMm: number | null
  readonly specificEnergyWsPerMm3: number | null
  readonly motorPowerW: number | null
  /** How hard the feed drive pushes, N; null for what is known of the axis. */
  readonly feedPushN: number | null
  readonly workSide: WorkSide | null
  readonly rotation: Rotation
  readonly direction: Direction | null
  /** Whether the drop of the feed that runs under cut have shown is to be in the table. */
  readonly underCut: boolean
}

/** A cut that was asked for, with everything that is told about it. */
export interface WorkedOutCut {
  readonly asked: AskedCut
  readonly wanted: WantedCut
  readonly values: StartingValues
  /** What the user noted of cuts like this one on the machine, newest first. */
  readonly notes: readonly CutNote[]
  /**
   * The table that answered, in the machine's unit: as it is on any day, so that the bands of the chip load hold then;
   * null where none has been fitted.
   */
  readonly table: StoredTable | null
  /** The same table on any day and in the present session. */
  readonly days: TableOnDays | null
  /** The drop of the feed under cut that is in the table; null where it runs free. */
  readonly correction: LoadCorrection | null
  /** The drop that runs under cut have shown, where it is not in the table; null where none has been measured. */
  readonly measuredDrop: LoadCorrection | null
  readonly answer: CutAnswer
  readonly motorPowerW: number | null
  /** Which way the table moves against the teeth; null where the side of the work is not told or the cutter has none. */
  readonly conventional: TableMove | null
  /** The direction of the axis that goes that way; null where the axis does not, or its ways were not told. */
  readonly conventionalDirection: Direction | null
}

/** What came of the asking: the cut, or why it cannot be worked out, with the file that own rows go into. */
type CutOutcome =
  | { readonly problem: CutProblem; readonly ownFile: string }
  | { readonly problem: null; readonly cut: WorkedOutCut }

/** Works a cut out for an axis. @throws UsageError `turning-axis`; DataError as `tableUnderLoad` does, where the drop under cut is asked for */
export async function workOutCut(
  store: Store,
  { machine, axis }: { readonly machine: Machine; readonly axis: Axis },
  asked: AskedCut,
): Promise<CutOutcome> {
  if (axis.rotary) {
    const { message, hint } = NO_CUT_ON_TURNING_AXIS
    throw new UsageError('turning-axis', message, hint)
  }
  const data = await readCuttingData()
  const refused = (problem: CutProblem): CutOutcome => ({ problem, ownFile: data.ownFile })
  const prepared = prepare(store, asked, machine, data)
  if ('problem' in prepared) return refused(prepared)
  const { wanted, values, notes } = prepared
  const conventional =
    asked.workSide === null || !CUTTER_GEOMETRY[wanted.kind].widthAcross
      ? null
      : conventionalTableMove(asked.workSide, asked.rotation)
  const conventionalDirection = conventional && directionOf(conventional, axis)
  const fitted = tableOf(store, axis, asked.direction ?? conventionalDirection)
  const free = fitted === null ? null : { ...fitted, unit: machine.unit }
  const { table: asMeasured, correction } =
    free !== null && asked.underCut ? tableUnderLoad(store, axis, free) : { table: free, correction: null }
  const days = asMeasured && onDays(store, axis, asMeasured, { nowIso: nowIso() })
  const table = days?.anyDay ?? null
  const motorPowerW = asked.motorPowerW ?? machine.motorPowerW
  const conditions = {
    specificEnergy: values.specificEnergy,
    motorPowerW,
    feedPushN: asked.feedPushN ?? axis.pushN,
    cornerRadiusMm: asked.cornerRadiusMm,
  }
  const answer = answerCut(wanted, conditions, table, {
    chipLoads: values.range,
    fastestMPerMin: values.fastestMPerMin,
    ofMaterial: values.fastestOfMaterial,
  })
  return {
    problem: null,
    cut: {
      ...{ asked, wanted, values, notes, table, days, correction, answer, motorPowerW },
      measuredDrop: free === null || correction !== null ? null : dropOf(store, axis, free),
      ...{ conventional, conventionalDirection },
    },
  }
}

function prepare(
  store: Store,
  asked: AskedCut,
  machine: Machine,
  { materials }: CuttingData,
):
  | { readonly wanted: WantedCut; readonly values: StartingValues; readonly notes: readonly CutNote[] }
  | CutProblem {
  const kind = cutterKindNamed(asked.cutter)
  if (kind === null) return { problem: 'unknown-cutter', name: asked.cutter }
  const single = CUTTER_GEOMETRY[kind].perRevolution
  const teeth = single ? 1 : (asked.teeth ?? (kind === 'fly cutter' ? 1 : null))
  if (teeth === null) return { problem: 'no-teeth', kind }
  const own = notPositive(asked)
  if (own !== null) return own
  const { pass, diameterMm, widthMm, depthMm, stickOutMm, cutterMaterial } = asked
  const sizes = { kind, pass, cutterMaterial, diameterMm, teeth, widthMm, depthMm, stickOutMm }
  const givenSizes = { ...sizes, cuttingSpeedMPerMin: 1, chipLoadMm: 1 }
  const sizeProblem = cutProblem(givenSizes, machine.unit)
  if (sizeProblem !== null) return sizeProblem
  let notes: readonly CutNote[] = []
  const values = startingValues({ ...asked, kind }, materials, ({ name }) => {
    if (cutterMaterial === null) return null
    const sought = { kind, pass, material: name, cutterMaterial, diameterMm }
    const experience = ownExperience(store, machine, sought)
    notes = experience.notes
    return experience
  })
  if ('problem' in values) return values
  const { cuttingSpeedMPerMin, chipLoadMm } = values
  const wanted = { ...sizes, cuttingSpeedMPerMin, chipLoadMm, ownSpindleRpm: machine.spindleRpm }
  return cutProblem(wanted, machine.unit) ?? { wanted, values, notes }
}

/** The direction whose word says this move, as in "right" or "to the right". */
function directionOf(move: TableMove, { ways }: Axis): Direction | null {
  if (ways === null) return null
  const bare = move.replace('to the ', '')
  const says = (word: string) => [move, bare].includes(word.trim().toLowerCase())
  return says(ways.plus) ? 1 : says(ways.minus) ? -1 : null
}

/** Sizes of the user's own that nothing has below zero. */
function notPositive(asked: AskedCut): CutProblem | null {
  const own: [CutField, number | null][] = [
    ['cornerRadius', asked.cornerRadiusMm],
    ['specificEnergy', asked.specificEnergyWsPerMm3],
    ['motor', asked.motorPowerW],
    ['push', asked.feedPushN],
  ]
  const wrong = own.find(([, value]) => value !== null && !(value > 0))
  return wrong === undefined ? null : { problem: 'not-positive', field: wrong[0] }
}

/** The table that answers: of the direction asked for, else of the plus direction, else of the other; null where none has been fitted. */
function tableOf(store: Store, axis: Axis, direction: Direction | null): StoredTable | null {
  if (direction !== null) return tableInForce(store, axis.id, direction)
  return tableInForce(store, axis.id, 1) ?? tableInForce(store, axis.id, -1)
}

function dropOf(store: Store, axis: Axis, table: StoredTable): LoadCorrection | null {
  try {
    return tableUnderLoad(store, axis, table).correction
  } catch (error) {
    if (error instanceof DataError) return null
    throw error
  }
}
