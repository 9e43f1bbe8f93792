import type { Said, TablepaceError } from '../../errors/index.js'
import { fileNotWritten } from '../../files/index.js'
import { escapedJson, PRINTED_WIDTH, reflowText, withoutControls, wrapText } from '../../text/index.js'
import { type DialWriting, labelled, NUMBERED } from '../../units/index.js'
import { onCommandLine, sentencesOnCommandLine } from '../wording.js'

type Style = 'bold' | 'dim' | 'red' | 'yellow' | 'green'

/**
 * Where a style begins and ends in text that is not yet on its way to a stream: code points that are no characters
 * (U+FDD0 and after), so that none of the text itself can be taken for a colour, nor a colour for a control character.
 */
const BEGINS: Readonly<Record<Style, string>> = {
  bold: '\ufdd0',
  dim: '\ufdd1',
  red: '\ufdd2',
  yellow: '\ufdd3',
  green: '\ufdd4',
}
const ENDS = '\ufdd5'
const STYLE_OF = new Map(Object.entries(BEGINS).map(([style, mark]) => [mark, style as Style]))
/** Codes of the styles (source: ECMA-48, 5th ed., 8.3.117: SGR). */
const CODES: Readonly<Record<Style, number>> = { bold: 1, dim: 2, red: 31, green: 32, yellow: 33 }
const RESET = '\u001b[0m'

/** Paints text; on a stream without colour it stays plain. */
export function paint(style: Style, text: Said): string {
  return `${BEGINS[style]}${onCommandLine(text)}${ENDS}`
}

/**
 * Whether a stream may carry colour: a terminal, and neither `NO_COLOR` (https://no-color.org)
 * nor `TERM=dumb` says otherwise. Colour is never the only signal.
 */
function mayColour(stream: NodeJS.WriteStream): boolean {
  return stream.isTTY === true && !process.env.NO_COLOR && process.env.TERM !== 'dumb'
}

/**
 * The one way to a terminal for text that people read: what a name or a note from outside holds is shown, never obeyed,
 * and only then painted.
 */
function shown(text: string, stream: NodeJS.WriteStream): string {
  const colours = mayColour(stream)
  return withoutControls(text).replace(/[\ufdd0-\ufdd5]/g, (mark) => {
    if (!colours) return ''
    const style = STYLE_OF.get(mark)
    return style === undefined ? RESET : `\u001b[${CODES[style]}m`
  })
}

/** Text of a result on stdout, its lines no longer than 80 columns. */
export function printResult(text: string): void {
  toStdout(`${shown(wrapText(text, PRINTED_WIDTH), process.stdout)}\n`)
}

/** The help of a command on stdout, without the empty lists that repeatable options begin with. */
export function printHelp(text: string): void {
  const told = text.replace(/\s+\(default:\s+\[\]\)/g, '')
  toStdout(shown(reflowText(told, PRINTED_WIDTH), process.stdout))
}

/**
 * Exactly one JSON document on stdout.
 *
 * @param writing of the dial that the document is about, whose letters are added to it
 */
export function printJson(document: unknown, writing: DialWriting = NUMBERED): void {
  const told = labelled(document, writing)
  toStdout(`${escapedJson(JSON.stringify(told, sentencesOnCommandLine, 2))}\n`)
}

/** The content of a file on stdout: byte for byte, but for a terminal, which obeys nothing that stands in it. */
export function printContent(content: string | Uint8Array): void {
  const readable = typeof content === 'string' && process.stdout.isTTY === true
  toStdout(readable ? shown(content, process.stdout) : content)
}

/** Text on stderr: broken between words at the width of a terminal, in whole lines where it is none. */
export function printError(text: string): void {
  const { isTTY, columns } = process.stderr
  toStderr(`${shown(isTTY === true ? wrapText(text, columns ?? PRINTED_WIDTH) : text, process.stderr)}\n`)
}

/** Exactly one JSON document on stderr, in one line. */
export function printErrorJson(document: unknown): void {
  toStderr(`${escapedJson(JSON.stringify(document, sentencesOnCommandLine))}\n`)
}

/**
 * Ends the program where its output can't be written: quietly where a reader has seen enough (`| head`) and closed the
 * pipe, which is no failure of ours; else with the exit code of a file that failed.
 *
 * @param report tells the failure
 */
export function watchOutput(report: (failure: TablepaceError) => void): void {
  process.stdout.on('error', (error: NodeJS.ErrnoException) => {
    if (error.code === 'EPIPE') process.exit(0)
    const failure = fileNotWritten('The output', error)
    report(failure)
    process.exit(failure.exitCode)
  })
  // Nobody is left to be told; the result and the exit code still count.
  process.stderr.on('error', () => {})
}

/** Some releases of Node throw what fails at once, others tell the stream; both end at the same place. */
function toStdout(content: string | Uint8Array): void {
  try {
    process.stdout.write(content)
  } catch (error) {
    process.stdout.emit('error', error)
  }
}

function toStderr(text: string): void {
  try {
    process.stderr.write(text)
  } catch {
    // As where the stream tells it.
  }
}

/** A line for the person at the machine, on stderr, so that stdout stays the result alone. */
export function say(text: Said): void {
  clearStatus()
  printError(onCommandLine(text))
}

let statusShown = false

/** A line that is overwritten in place on a terminal; nothing where stderr is not one. */
export function showStatus(text: string): void {
  if (process.stderr.isTTY !== true) return
  const width = process.stderr.columns ?? 80
  toStderr(`\r\u001b[2K${shown(text.slice(0, width - 1), process.stderr)}`)
  statusShown = true
}

/** Takes the status line away, so that a full line can follow. */
export function clearStatus(): void {
  if (!statusShown) return
  toStderr('\r\u001b[2K')
  statusShown = false
}

/** Rings the terminal's bell where there is one: the user looks at the table, not at the screen. */
export function ringBell(): void {
  if (process.stderr.isTTY === true) toStderr('\u0007')
}

/** True where questions can be asked and keys be read. */
export function canAsk(): boolean {
  return process.stdin.isTTY === true && process.stderr.isTTY === true
}
