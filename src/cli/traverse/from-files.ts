import { UsageError } from '../../errors/index.js'
import {
  type NamedFile,
  openTakes,
  recordReadoutTakes,
  recordStopwatchTakes,
  tryReadoutTakes,
  tryStopwatchTakes,
} from '../../jobs/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { type DialInRange, parseDialSetting, parseMarks, rangedSetting } from '../../units/index.js'
import { say } from '../terminal/terminal.js'
import { conditionsFrom, lineReading, type TraverseOptions } from './options.js'
import { presentOutcomes } from './present.js'
import { stopwatchConditions } from './stopwatch-conditions.js'

/** `traverse --from …`: recordings and stopwatch sheets. */
export async function traverseFromFiles(
  store: Store,
  target: MachineAxis,
  options: TraverseOptions,
): Promise<void> {
  const { axis } = target
  const dial = options.dial === undefined ? null : parseDialSetting(options.dial, '--dial', axis)
  const settings = turnedThrough(options, axis)
  const files = namedFiles(options, axis).map((file) => ({ ...file, dial: file.dial ?? dial }))
  const reading = {
    ...(await lineReading(options, target)),
    machineUnit: target.axis.unit,
    turnedThrough: settings,
  }
  const takes = await openTakes(files, axis, reading)
  takes.notes.forEach(say)
  const conditions =
    takes.stopwatch.length === 0 ? conditionsFrom(options) : stopwatchConditions(store, options)
  if (!options.save) {
    const tried = [
      ...(await tryReadoutTakes(store, axis, takes.readout, conditions)),
      ...tryStopwatchTakes(store, axis, takes.stopwatch, conditions),
    ]
    return presentOutcomes(tried, target, options)
  }
  presentOutcomes(
    [
      ...(await recordReadoutTakes(store, axis, takes.readout, conditions)),
      ...recordStopwatchTakes(store, axis, takes.stopwatch, conditions),
    ],
    target,
    options,
  )
}

/**
 * The settings of `--settings`, in order; undefined without it.
 *
 * @throws UsageError `settings-and-dial`, `too-few-settings`, `one-travel`
 */
export function turnedThrough(
  { settings, dial, from }: Pick<TraverseOptions, 'settings' | 'dial' | 'from'>,
  writing: DialInRange,
): number[] | undefined {
  if (settings === undefined) return undefined
  if (dial !== undefined || from.some((text) => WITH_DIAL.test(text))) {
    throw new UsageError(
      'settings-and-dial',
      'The dial is either left at one setting or turned through several.',
      'Give --dial D, or --settings with all of them.',
    )
  }
  if (from.length > 1) {
    throw new UsageError(
      'one-travel',
      '--settings says what was done in one recording.',
      'Read the recordings one after the other, each with its own --settings.',
    )
  }
  const dials = parseMarks(settings, '--settings', writing)
  if (dials.length > 1) return dials
  throw new UsageError('too-few-settings', '--settings needs two or more.', 'For a single one give --dial D.')
}

const WITH_DIAL = /^\s*(rapid|[a-z]|[-+]?[\d.]+(?:\s+\d+\/\d+|[½¼¾⅛⅜⅝⅞]|\/\d+)?)\s*=(.+)$/i

/** `FILE` or `DIAL=FILE` as named in `--from`; in a range of a dial also `HI 4=FILE`. */
export function namedFiles(options: Pick<TraverseOptions, 'from'>, writing: DialInRange): NamedFile[] {
  return options.from.map((text) => {
    const [, before = '', path = ''] = /^([^=]*)=(.+)$/.exec(text) ?? []
    const inRange = writing.range && rangedSetting(before, [writing.range.name])
    const match = WITH_DIAL.exec(inRange ? `${inRange.setting}=${path}` : text)
    if (match === null) return { path: text, dial: null }
    return { path: match[2]!, dial: parseDialSetting(match[1]!, '--from', writing) }
  })
}
