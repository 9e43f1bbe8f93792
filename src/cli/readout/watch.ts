import { TablepaceError } from '../../errors/index.js'
import {
  hostClock,
  lengthUnitOf,
  loadReadoutProfile,
  openReadout,
  type PollCounts,
  type RejectedLine,
  SampleReader,
} from '../../ingest/index.js'
import type { ReadoutSummary } from '../../jobs/index.js'
import { feedUnit, fromMm, type LengthUnit, parseDurationS, parseLengthMm } from '../../units/index.js'
import { onInterrupt } from '../live/follow-readout.js'
import { LiveDisplay } from '../live/live-display.js'
import { clearStatus, printJson, printResult, say } from '../terminal/terminal.js'
import { type MachineOfReadout, machineUnit } from './machine-unit.js'
import { portLink } from './port-link.js'

/** Options of `readout watch`. */
export interface WatchOptions extends MachineOfReadout {
  readonly port: string
  readonly baud?: string
  readonly readout?: string
  readonly axis: string
  readonly unit?: LengthUnit
  readonly countLength?: string
  readonly for?: string
}

/** Without a terminal a line is printed this often, s. Judgement: what a log can hold. */
const PRINTED_EVERY_S = 1

/** `readout watch`: shows what a readout sends until Ctrl-C, `--for`, or until the port fails. */
export async function watchReadout(options: WatchOptions): Promise<void> {
  const profile = options.readout === undefined ? null : await loadReadoutProfile(options.readout)
  const saysUnit = profile === null ? null : lengthUnitOf(profile)
  const unit = options.unit ?? saysUnit ?? (await machineUnit(options)) ?? 'mm'
  const longestS = options.for === undefined ? null : parseDurationS(options.for, '--for')
  const link = portLink(options, profile)
  const display = new LiveDisplay(unit, { details: true })
  let end: (failure: TablepaceError | null) => void = () => {}
  const ended = new Promise<TablepaceError | null>((resolve) => {
    end = resolve
  })
  let refusedBytes = 0
  const refuse = (rejected: RejectedLine): void => display.refuse(rejected)
  const reader = new SampleReader(
    {
      axis: options.axis,
      bareUnit: unit,
      ...(profile === null ? {} : { profile }),
      ...(options.countLength === undefined
        ? {}
        : { countLengthMm: parseLengthMm(options.countLength, unit, '--count-length') }),
    },
    { onSample: (sample) => display.show(sample), onRejected: refuse },
  )
  const port = await openReadout({
    path: options.port,
    ...link,
    onLine: (line) => {
      const decidedBefore = reader.format !== null
      try {
        reader.feed(line)
      } catch (error) {
        if (!(error instanceof TablepaceError)) throw error
        end(error)
      }
      if (!decidedBefore && reader.format !== null) reader.conclusions.forEach(say)
    },
    onRejected: (rejected) => {
      refusedBytes += 1
      refuse(rejected)
    },
    onClose: end,
  })
  const clock = hostClock()
  const startedS = clock.nowS()
  say(`Watching ${options.port}. Ctrl-C ends.`)
  const stopPrinting =
    options.json || process.stdout.isTTY
      ? () => {}
      : clock.every(PRINTED_EVERY_S, () => {
          if (display.summary.samples > 0) printResult(display.text())
        })
  const stopListening = onInterrupt(() => end(null))
  const dropLimit = longestS === null ? () => {} : clock.after(longestS, () => end(null))
  const failure = await ended
  const durationS = clock.nowS() - startedS
  stopListening()
  dropLimit()
  stopPrinting()
  const polling = port.pollCounts?.() ?? null
  await port.close()
  clearStatus()
  // Without a format nothing was read, and the reason is the answer.
  if (failure === null || reader.format !== null) reader.end()
  const { summary } = display
  if (summary.samples > 0) {
    const linesRead = reader.linesRead + refusedBytes
    const { baudRate } = link
    const { conclusions } = reader
    const watched = { summary, unit, baudRate, durationS, linesRead, polling, conclusions }
    printWatched(options, display.text(), watched)
  }
  if (failure !== null) throw failure
}

/** All that came in while a readout was watched, and over which link. */
interface Watched {
  readonly summary: ReadoutSummary
  readonly unit: LengthUnit
  readonly baudRate: number
  readonly durationS: number
  /** Lines and bytes, the refused ones among them. */
  readonly linesRead: number
  readonly polling: PollCounts | null
  readonly conclusions: readonly string[]
}

function printWatched({ port, json }: WatchOptions, last: string, watched: Watched): void {
  const { summary, unit, baudRate, durationS, linesRead, polling, conclusions } = watched
  const { positionMm, travelMm, highestSpeedMmPerMin, refreshHz, samples, lost, refused } = summary
  if (!json) {
    printResult(`${samples} readings in ${durationS.toFixed(1)} s; last ${last}`)
    for (const [code, count] of Object.entries(refused)) printResult(`  refused as ${code}: ${count}`)
    if (polling !== null) printResult(`  ${pollText(polling)}`)
    return
  }
  const length = (mm: number) => ({ value: fromMm(mm, unit), unit })
  printJson({
    ...{ port, baudRate, durationS },
    lines: { read: linesRead, used: samples, lost, refused },
    refreshHz,
    position: length(positionMm ?? 0),
    travel: length(travelMm),
    highestSpeed: { value: fromMm(highestSpeedMmPerMin, unit), unit: feedUnit(unit) },
    ...{ polling, conclusions },
  })
}

function pollText({ requests, answers, late, missing, halfRoundTripS }: PollCounts): string {
  const stamp =
    halfRoundTripS === null
      ? ''
      : `; a reading is within ${(1000 * halfRoundTripS).toFixed(1)} ms of its time stamp`
  return `asked ${requests} times: ${answers} answers, ${late} late, ${missing} missing${stamp}`
}
