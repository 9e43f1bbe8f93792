import { DataError, UsageError } from '../../errors/index.js'
import { checkStopwatchEntry, type StopwatchEntry } from '../../ingest/index.js'
import {
  type PressedTraverse,
  pressedEntry,
  recordStopwatchTakes,
  type StopwatchTake,
  traverseOccasion,
  tryStopwatchTakes,
} from '../../jobs/index.js'
import { stopwatchBeyondTravel, wayOut } from '../../planning/mix-ups/index.js'
import type { Axis, DialSetting, MachineAxis, StopwatchRecord, Store } from '../../store/index.js'
import { parseDurationS, parseLengthMm } from '../../units/index.js'
import { marksBeyond } from '../../words/index.js'
import { parseDirection, parseTags } from '../options.js'
import { showCautions } from '../terminal/cautions.js'
import { openKeys } from '../terminal/keys.js'
import { timeOnKeyboard } from '../terminal/stopwatch-screen.js'
import { canAsk, say } from '../terminal/terminal.js'
import { requiredDial, type TraverseOptions } from './options.js'
import { presentOutcomes } from './present.js'
import { stopwatchConditions } from './stopwatch-conditions.js'

/** `traverse --distance … --time … --direction …`, or `--stopwatch` timed on the keyboard. */
export async function traverseFromStopwatch(
  store: Store,
  target: MachineAxis,
  options: TraverseOptions,
): Promise<void> {
  const dial = requiredDial(options, target.axis)
  const entry =
    options.time === undefined ? await timed(dial, target, options) : entered(dial, target, options)
  const takes: StopwatchTake[] = [
    { dial, origin: options.time === undefined ? 'keyboard' : 'command line', entry, note: null },
  ]
  const conditions = stopwatchConditions(store, options)
  const outcomes = options.save
    ? recordStopwatchTakes(store, target.axis, takes, conditions)
    : tryStopwatchTakes(store, target.axis, takes, conditions)
  presentOutcomes(outcomes, target, options)
}

function entered(dial: DialSetting, { axis }: MachineAxis, options: TraverseOptions): StopwatchRecord {
  const entry = {
    dial,
    direction: parseDirection(required(options.direction, '--direction', '+ or -')),
    distanceMm: parseLengthMm(required(options.distance, '--distance', '6in'), axis.unit, '--distance'),
    durationS: parseDurationS(required(options.time, '--time', '28.4s'), '--time'),
  }
  checkEntered(entry)
  const { dial: _, ...record } = entry
  return { ...record, marks: null }
}

/** What is bad data in a sheet is wrong use on the command line. @throws UsageError `bad-stopwatch-entry` */
function checkEntered(entry: Omit<StopwatchEntry, 'note'>): void {
  try {
    checkStopwatchEntry({ ...entry, note: '' }, 'The stopwatch entry')
  } catch (cause) {
    if (!(cause instanceof DataError)) throw cause
    throw new UsageError(cause.code, cause.message, cause.hint, { cause })
  }
}

async function timed(
  dial: DialSetting,
  { axis }: MachineAxis,
  options: TraverseOptions,
): Promise<StopwatchRecord> {
  if (!canAsk()) {
    throw new UsageError(
      'needs-terminal',
      'Timing on the keyboard needs a terminal.',
      'Give the entry as --distance 6in --time 28.4s --direction +, or as a sheet with --from.',
    )
  }
  const distanceMm = parseLengthMm(required(options.distance, '--distance', '6in'), axis.unit, '--distance')
  const direction = parseDirection(required(options.direction, '--direction', '+ or -'))
  checkEntered({ dial, direction, distanceMm, durationS: 1 })
  refuseBeyondTravel(distanceMm, axis)
  const everyMm = betweenMarks(options, axis)
  await showCautions(traverseOccasion(parseTags(options.tag)), options.yes === true, 'goes-on')
  const keys = openKeys()
  try {
    const outcome = await timeOnKeyboard(keys, ['q'])
    if (outcome.kind === 'key')
      throw new UsageError(
        'abandoned',
        'Stopped before the second press; nothing was stored.',
        'Start again when ready.',
      )
    say('')
    return entryOfPresses({ dial, direction, distanceMm, everyMm, ...outcome.timing }, axis)
  } finally {
    keys.close()
  }
}

/** The distance from mark to mark; null where it was not said. @throws UsageError where it is none */
export function betweenMarks({ markEvery }: Pick<TraverseOptions, 'markEvery'>, axis: Axis): number | null {
  return markEvery === undefined ? null : parseLengthMm(markEvery, axis.unit, '--mark-every')
}

/** The entry that is kept of what was pressed; marks that cannot lie within the distance are told of. */
export function entryOfPresses(pressed: PressedTraverse, axis: Axis): StopwatchRecord {
  const beyond = marksBeyond(pressed, axis.unit)
  if (beyond !== null) say(beyond)
  return pressedEntry(pressed)
}

/** Before anything is timed over it. @throws UsageError `beyond-travel` for a distance that the axis does not have */
export function refuseBeyondTravel(distanceMm: number, axis: Axis): void {
  const refusal = stopwatchBeyondTravel(distanceMm, axis)
  if (refusal !== null) throw new UsageError(refusal.code, refusal.message, wayOut(refusal.code) ?? '')
}

function required(value: string | undefined, option: string, example: string): string {
  if (value !== undefined) return value
  throw new UsageError(
    'option-missing',
    `A stopwatch entry needs ${option}.`,
    `Give it like ${option} ${example}.`,
  )
}
