import { TablepaceError } from '../../errors/index.js'
import { type LineFormat, openReadout, SampleReader } from '../../ingest/index.js'
import {
  ingestOptions,
  linesTellUnit,
  parseMoveMm,
  type ReadoutSettings,
  settingsByMove,
  unitIsOpen,
} from '../../jobs/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { formatLength } from '../../units/index.js'
import { portLink } from '../readout/port-link.js'
import { canAsk, paint, say } from '../terminal/terminal.js'
import type { LineOptions } from './options.js'

/**
 * Time, ms, by which a readout that has not shown how its lines are made is not asked about. Judgement: five lines
 * of a slow one.
 */
const SHOWS_WITHIN_MS = 5000

/**
 * Asks once for a known move of the table where nothing tells what the numbers of the readout are and there is a
 * terminal to ask on: on an axis without a run so far, whose lines carry no unit and nobody said it.
 *
 * @returns the settings, changed where the move shows another unit or counts
 * @throws DeviceError as `openReadout` does
 */
export async function settingsAfterMove(
  store: Store,
  target: MachineAxis,
  options: LineOptions,
  settings: ReadoutSettings,
): Promise<ReadoutSettings> {
  if (!canAsk() || !unitIsOpen(store, target.axis, settings)) return settings
  const watch = await watchReadout(target, options, settings)
  try {
    const format = await watch.format
    if (format === null || linesTellUnit(format, target.axis.unit)) return settings
    say(
      `It is not yet known whether this readout shows inches or mm. With the feed disengaged, ${whatToMove(target)} by hand, let it rest, and type how far it moved.`,
    )
    return await askMove(target, settings, format, watch.movedMm)
  } finally {
    await watch.close()
  }
}

function whatToMove({ axis }: MachineAxis): string {
  const length = 'move the table by a length you know'
  if (axis.leadscrewPitchMm === null) return length
  return `turn the handle one full turn (pitch ${formatLength(axis.leadscrewPitchMm, axis.unit)}) or ${length}`
}

async function askMove(
  { axis }: MachineAxis,
  settings: ReadoutSettings,
  format: LineFormat,
  movedMm: () => number,
): Promise<ReadoutSettings> {
  const { input } = await import('@inquirer/prompts')
  const example = axis.leadscrewPitchMm === null ? '' : '1 turn, '
  for (;;) {
    const typed = await input(
      {
        message: `Moved (${example}${axis.unit === 'in' ? '0.5in' : '10mm'}; leave empty to carry on without):`,
      },
      { output: process.stderr },
    )
    if (typed.trim() === '') return settings
    try {
      const lengthMm = parseMoveMm(typed, axis.unit, axis.leadscrewPitchMm)
      const found = settingsByMove(settings, { shownMm: movedMm(), format }, lengthMm)
      say(paint('green', found.sentence))
      return found.settings
    } catch (error) {
      if (!(error instanceof TablepaceError)) throw error
      say(paint('yellow', error.inFull))
    }
  }
}

/** Follows a readout: its format as soon as it shows, null where it does not, and how far it moved since. */
async function watchReadout({ axis }: MachineAxis, options: LineOptions, settings: ReadoutSettings) {
  let first: number | null = null
  let last = 0
  let decide: (format: LineFormat | null) => void = () => {}
  const format = new Promise<LineFormat | null>((resolve) => {
    decide = resolve
  })
  const timer = setTimeout(() => decide(null), SHOWS_WITHIN_MS)
  const reader = new SampleReader(ingestOptions(settings, axis), {
    onSample: ({ positionMm }) => {
      first ??= positionMm
      last = positionMm
    },
    onRejected: () => {},
  })
  const port = await openReadout({
    path: options.port ?? '',
    ...portLink(options, settings.profile),
    onLine: (line) => {
      try {
        reader.feed(line)
      } catch (error) {
        // What cannot be read is told when the recording begins.
        if (!(error instanceof TablepaceError)) throw error
        decide(null)
      }
      if (reader.format !== null) decide(reader.format)
    },
    onRejected: () => {},
    onClose: () => decide(null),
  })
  return {
    format,
    movedMm: () => last - (first ?? last),
    close: async (): Promise<void> => {
      clearTimeout(timer)
      await port.close()
    },
  }
}
