import { DataError, DeviceError, sentence, UsageError, way } from '../../errors/index.js'
import {
  type ArrivedBytes,
  type ByteSource,
  type ColumnSeries,
  columnSeries,
  type Framing,
  findLink,
  inferFormat,
  isEndless,
  type LearnedColumn,
  type LearnedShape,
  LineAssembler,
  type LinkTrial,
  learnShape,
  moveOf,
  parseLine,
  type ReadoutProfile,
  type SerialLinkSettings,
  type StampedLine,
  whichMoved,
  withDataBits,
} from '../../ingest/index.js'

/** A readout that was found on a port, and the lines it sent then. */
export interface HeardReadout {
  readonly link: SerialLinkSettings
  /** All speeds and framings that were tried, the right one among them. */
  readonly trials: readonly LinkTrial[]
  readonly lines: readonly StampedLine[]
}

/** Which number is the axis, and how it moved. */
export interface LearnedAxis {
  readonly shape: LearnedShape
  readonly column: LearnedColumn
  readonly series: ColumnSeries
  /** From rest to rest, in numbers; null where nothing was moved. */
  readonly netMove: number | null
  readonly rested: boolean
}

/** How the user says which number is the axis. */
export interface ColumnChoice {
  readonly label?: string | undefined
  /** Counted from 1. */
  readonly column?: number | undefined
}

/**
 * Lines that the shape is learned from at least. Judgement: one in twenty-five may be damaged and does not decide.
 */
const SHAPE_LINES = 25
/**
 * Shortest and longest time for it, s. Judgement: a clock shows only over more than a second; eight lines of a
 * slow readout come in eight.
 */
const SHAPE_S = [1.5, 8] as const
/** Share of the lines it was learned from that a profile has to read. Judgement: one in ten may be damaged. */
const READ_SHARE = 0.9

/**
 * Finds a readout on a port by listening, and gathers some of its lines.
 *
 * @param onTrial is told each speed and framing that was tried, as it is over
 * @throws DeviceError `port-silent`, `readout-not-recognised`, and as the source does
 */
export async function hearReadout(
  source: ByteSource,
  path: string,
  pinned: { readonly baudRate?: number | undefined; readonly framing?: Framing | undefined },
  onTrial?: (trial: LinkTrial) => void,
): Promise<HeardReadout> {
  const { found, trials } = await findLink(source, pinned, onTrial)
  if (found === null) throw notFound(path, trials)
  const chunks = await source.listen(found.link, (soFar, elapsedS) => {
    const lines = linesOf(soFar, found.link).length
    return elapsedS >= SHAPE_S[1] || (elapsedS >= SHAPE_S[0] && lines >= SHAPE_LINES)
  })
  return { link: found.link, trials, lines: linesOf(chunks, found.link) }
}

/** Whole lines out of received bytes. */
export function linesOf(chunks: readonly ArrivedBytes[], link: SerialLinkSettings): StampedLine[] {
  const lines: StampedLine[] = []
  const assembler = new LineAssembler({
    onLine: (line) => lines.push(line),
    onRejected: () => {},
    dropFirst: true,
  })
  for (const { bytes, arrivalS } of withDataBits(chunks, link.dataBits)) assembler.push(bytes, arrivalS)
  return lines
}

/** The numbers that may be a position. */
function positionColumns(shape: LearnedShape): readonly LearnedColumn[] {
  return shape.columns.filter((column) => column.role === 'position')
}

/**
 * Tells which number is the axis: by what the user says, by there being one only, or by what moved.
 *
 * @param lines all lines, those from before the move first
 * @param moved whether the axis was moved while they came
 * @throws DataError `nothing-moved`, `several-moved`; UsageError `no-such-column`
 */
export function learnAxis(lines: readonly StampedLine[], choice: ColumnChoice, moved: boolean): LearnedAxis {
  const shape = learnShape(lines)
  const chosen = chooseColumn(shape, choice)
  const watched = (chosen === null ? positionColumns(shape) : [chosen]).map((column) => ({
    column,
    series: columnSeries(lines, shape, column),
  }))
  const [only] = watched
  if (only === undefined) {
    throw new DataError(
      'no-position',
      `The lines hold no number that may be a position; one is "${shape.examples[0]}".`,
      'Listen while the axis rests: a position that runs on evenly looks like a clock.',
    )
  }
  if (!moved) {
    return { shape, column: only.column, series: only.series, netMove: null, rested: false }
  }
  const { column, netMove, rested } = chosen === null ? whichMoved(watched) : moveOf(chosen, only.series)
  const { series } = watched.find((one) => one.column === column)!
  return { shape, column, series, netMove, rested }
}

/** The number that the user names, or the only one; null where a move has to tell. */
export function chooseColumn(shape: LearnedShape, { label, column }: ColumnChoice): LearnedColumn | null {
  const open = positionColumns(shape)
  if (label === undefined && column === undefined) return open.length === 1 ? open[0]! : null
  const found = open.find((one) =>
    label === undefined ? one.column === column : one.label?.toLowerCase() === label.toLowerCase(),
  )
  if (found) return found
  const known = open.map((one) => one.label ?? `column ${one.column}`).join(', ')
  throw new UsageError(
    'no-such-column',
    `The lines hold no ${label === undefined ? `position in column ${column}` : `number labelled ${label}`}.`,
    `They hold ${known}; a line is "${shape.examples[0]}".`,
  )
}

/**
 * Makes sure that a profile reads the lines it was learned from.
 *
 * @throws DataError `profile-does-not-read`
 */
export function checkLearned(profile: ReadoutProfile, lines: readonly StampedLine[]): void {
  const [axis] = profile.axes
  const name = axis!.axis === '*' ? (axis!.label ?? 'x') : axis!.axis
  const { format } = inferFormat(lines, {
    axis: name,
    bareUnit: profile.unit === 'deg' ? 'deg' : 'mm',
    profile,
  })
  const parsed = lines.map(({ text }) => parseLine(text, format)).filter((one) => one !== 'other-axis')
  const read = parsed.filter((one) => typeof one !== 'string').length
  if (read >= READ_SHARE * parsed.length && read > 0) return
  throw new DataError(
    'profile-does-not-read',
    `What was learned reads only ${read} of ${parsed.length} lines.`,
    sentence`The lines change their shape. Write a profile by hand from the lines shown, and name it${way('profile')}.`,
  )
}

function notFound(path: string, trials: readonly LinkTrial[]): DeviceError {
  if (trials.every(({ quality }) => quality.bytes === 0)) {
    return new DeviceError(
      'port-silent',
      `Nothing came from the serial port ${path} at any of ${trials.length} speeds.`,
      'Check that the readout is on and set to send by itself, and the cable. Some send only while an axis moves: move one meanwhile. One that speaks only when asked needs a profile with a request.',
    )
  }
  const endless = trials.find(isEndless)
  if (endless !== undefined) {
    return new DeviceError(
      'port-no-line-end',
      `${endless.quality.bytes} readable characters came from ${path} at ${endless.link.baudRate} baud, but never the end of a line.`,
      'Set the readout to end its lines with CR, LF or both. Otherwise there is no telling where a number ends.',
    )
  }
  const heard = trials.reduce((sum, { quality }) => sum + quality.bytes, 0)
  return new DeviceError(
    'readout-not-recognised',
    `${heard} bytes came from ${path}, but with none of ${trials.length} speeds and framings lines of one shape at a steady beat.`,
    sentence`Look speed and framing up in the settings of the readout and give them${way('link-settings')}; check that the cable has its ground wire.`,
  )
}
