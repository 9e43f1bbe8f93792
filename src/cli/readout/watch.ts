import { TablepaceError } from '../../errors/index.js'
import {
  hostClock,
  lengthUnitOf,
  loadReadoutProfile,
  openReadout,
  type PollCounts,
  type ReadoutProfile,
  SampleReader,
  type StampedLine,
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
  const reader = readerOf(options, unit, profile, display)
  const port = await openReadout({
    path: options.port,
    ...link,
    onLine: (line) => {
      const failure = takeIn(line, reader)
      if (failure !== null) end(failure)
    },
    onRejected: (rejected) => {
      refusedBytes += 1
      display.refuse(rejected)
    },
    onClose: end,
  })
  const stopPrinting = printInTurn(options, display)
  const { failure, durationS } = await over(options, longestS, { ended, end })
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

function readerOf(
  { axis, countLength }: WatchOptions,
  unit: LengthUnit,
  profile: ReadoutProfile | null,
  display: LiveDisplay,
): SampleReader {
  return new SampleReader(
    {
      axis,
      bareUnit: unit,
      ...(profile === null ? {} : { profile }),
      ...(countLength === undefined
        ? {}
        : { countLengthMm: parseLengthMm(countLength, unit, '--count-length') }),
    },
    { onSample: (sample) => display.show(sample), onRejected: (rejected) => display.refuse(rejected) },
  )
}

/** Reads a line, and says what the format is once that is known; what is returned ends the watch. */
function takeIn(line: StampedLine, reader: SampleReader): TablepaceError | null {
  const decidedBefore = reader.format !== null
  let failure: TablepaceError | null = null
  try {
    reader.feed(line)
  } catch (error) {
    if (!(error instanceof TablepaceError)) throw error
    failure = error
  }
  if (!decidedBefore && reader.format !== null) reader.conclusions.forEach(say)
  return failure
}

/** Prints a line every now and then where no terminal shows each reading; what is returned stops that. */
function printInTurn({ json }: WatchOptions, display: LiveDisplay): () => void {
  if (json || process.stdout.isTTY) return () => {}
  return hostClock().every(PRINTED_EVERY_S, () => {
    if (display.summary.samples > 0) printResult(display.text())
  })
}

/** Waits for Ctrl-C, the end of the time that was given, or a failure: which one, and how long it took. */
async function over(
  { port }: WatchOptions,
  longestS: number | null,
  watch: { readonly ended: Promise<TablepaceError | null>; readonly end: (failure: null) => void },
): Promise<{ readonly failure: TablepaceError | null; readonly durationS: number }> {
  const clock = hostClock()
  const startedS = clock.nowS()
  say(`Watching ${port}. Ctrl-C ends.`)
  const stopListening = onInterrupt(() => watch.end(null))
  const dropLimit = longestS === null ? () => {} : clock.after(longestS, () => watch.end(null))
  const failure = await watch.ended
  const durationS = clock.nowS() - startedS
  stopListening()
  dropLimit()
  return { failure, durationS }
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
