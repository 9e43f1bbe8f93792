import { type Said, UsageError } from '../../errors/index.js'
import { timingOf } from '../../jobs/index.js'
import type { Instrument } from '../../planning/advice/index.js'
import type { Axis, Store } from '../../store/index.js'
import { parseLengthMm, parseNumber } from '../../units/index.js'
import type { AxisOptions } from '../context.js'

/** Options of `advise`. */
export interface AdviseOptions extends AxisOptions {
  readonly feed?: string
  readonly within: string
  readonly percentOnly?: boolean
  readonly stopwatch?: boolean
  readonly person?: string
  readonly readoutRate?: string
  readonly readoutStep?: string
  readonly direction?: string
}

/** What the runs are timed with, and a sentence that says so. @throws UsageError `no-instrument` */
export function instrumentOf(
  store: Store,
  { unit }: Pick<Axis, 'unit'>,
  options: AdviseOptions,
): { instrument: Instrument; sentence: Said } {
  const step = { in: '0.0002in', mm: '0.005mm', deg: '0.01deg' }[unit]
  const readout = `--readout-rate 10 and --readout-step ${step}`
  const byReadout = options.readoutRate !== undefined || options.readoutStep !== undefined
  if (byReadout === (options.stopwatch === true)) {
    throw new UsageError(
      'no-instrument',
      byReadout
        ? 'Give either a stopwatch or a readout, not both.'
        : 'It is not clear what the runs are timed with.',
      `Give --stopwatch, or ${readout}.`,
    )
  }
  if (!byReadout) {
    const { timing, sentence } = timingOf(store, options.person)
    return {
      instrument: {
        kind: 'stopwatch',
        ...(timing === null ? {} : { pressSpreadS: timing.pressSpreadS }),
      },
      sentence,
    }
  }
  if (options.readoutRate === undefined || options.readoutStep === undefined) {
    throw new UsageError(
      'no-instrument',
      'A readout needs both its rate and its step.',
      `Give both ${readout}.`,
    )
  }
  const rateHz = positive(
    parseNumber(options.readoutRate.replace(/\s*Hz$/i, ''), '--readout-rate'),
    '--readout-rate',
  )
  const stepMm = positive(parseLengthMm(options.readoutStep, unit, '--readout-step'), '--readout-step')
  return {
    instrument: { kind: 'readout', rateHz, stepMm },
    sentence: `The readout is taken to send ${rateHz} lines a second in steps of ${options.readoutStep}.`,
  }
}

export function positive(value: number, what: string): number {
  if (value > 0) return value
  throw new UsageError('bad-number', `${what} must be above 0.`, `Give ${what} a size above zero.`)
}
