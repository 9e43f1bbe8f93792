import { styleText } from 'node:util'

type Style = 'bold' | 'dim' | 'red' | 'yellow' | 'green'

/**
 * Whether a stream may carry colour: a terminal, and neither `NO_COLOR` (https://no-color.org)
 * nor `TERM=dumb` says otherwise. Colour is never the only signal.
 */
function mayColour(stream: NodeJS.WriteStream): boolean {
  return stream.isTTY === true && !process.env.NO_COLOR && process.env.TERM !== 'dumb'
}

function painter(stream: NodeJS.WriteStream): (style: Style, text: string) => string {
  return (style, text) => (mayColour(stream) ? styleText(style, text) : text)
}

/** Paints text for stdout. */
export const paintOut = painter(process.stdout)
/** Paints text for stderr. */
export const paintErr = painter(process.stderr)

/** A line of result on stdout. */
export function printResult(text: string): void {
  process.stdout.write(`${text}\n`)
}

/** Exactly one JSON document on stdout. */
export function printJson(document: unknown): void {
  process.stdout.write(`${JSON.stringify(document, null, 2)}\n`)
}

/** A line for the person at the machine, on stderr, so that stdout stays the result alone. */
export function say(text: string): void {
  clearStatus()
  process.stderr.write(`${wrapped(text)}\n`)
}

/** Breaks lines between words at the width of the terminal, with the indent of the line kept. */
function wrapped(text: string): string {
  const width = process.stderr.isTTY === true ? (process.stderr.columns ?? 80) : Number.POSITIVE_INFINITY
  if (text.length < width) return text
  const indent = /^\s*(?:- )?/.exec(text)?.[0].length ?? 0
  const lines = ['']
  for (const word of text.split(' ')) {
    const line = lines.at(-1) ?? ''
    if (line.trim() !== '' && line.length + word.length + 1 >= width)
      lines.push(`${' '.repeat(indent)}${word}`)
    else lines[lines.length - 1] = line === '' && lines.length === 1 ? word : `${line} ${word}`
  }
  return lines.join('\n')
}

let statusShown = false

/** A line that is overwritten in place on a terminal; nothing where stderr is not one. */
export function showStatus(text: string): void {
  if (process.stderr.isTTY !== true) return
  const width = process.stderr.columns ?? 80
  process.stderr.write(`\r\u001b[2K${text.slice(0, width - 1)}`)
  statusShown = true
}

/** Takes the status line away, so that a full line can follow. */
export function clearStatus(): void {
  if (!statusShown) return
  process.stderr.write('\r\u001b[2K')
  statusShown = false
}

/** Rings the terminal's bell where there is one: the user looks at the table, not at the screen. */
export function ringBell(): void {
  if (process.stderr.isTTY === true) process.stderr.write('\u0007')
}

/** True where questions can be asked and keys be read. */
export function canAsk(): boolean {
  return process.stdin.isTTY === true && process.stderr.isTTY === true
}
