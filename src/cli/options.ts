import { type Command, Option } from 'commander'
import { UsageError } from '../errors/index.js'
import {
  type Direction,
  type LengthUnit,
  parseNumber,
  parseDirection as readDirection,
} from '../units/index.js'

/** Adds `--machine` and `--axis`; either may be left out where the store holds only one. */
export function withAxisOptions(command: Command): Command {
  return command
    .option('--machine <name>', 'the machine; may be left out when the store holds only one')
    .option('--axis <name>', 'the axis; may be left out when the machine has only one')
}

/** Adds `--direction`. */
export function withDirectionOption(command: Command): Command {
  return command.option('--direction <sign>', '+ towards larger readings, - towards smaller ones')
}

/** Adds what says how the lines of a readout are to be read. */
export function withLineOptions(command: Command): Command {
  return command
    .option('--baud <n>', "baud rate of the port, or of the one recorded (default: the profile's, else 9600)")
    .option('--wait <duration>', 'how long to wait for a port that was unplugged', '60s')
    .option('--readout <profile>', 'readout profile by name or file; without it the format is worked out')
    .addOption(unitOption('--unit <unit>', "unit of the numbers in the lines (default: the machine's)"))
    .option('--count-length <length>', 'the numbers are counts of this length, such as 0.005mm')
}

/** Adds what is kept beside the runs, and the way past the question before the table moves. */
export function withConditionOptions(command: Command): Command {
  return command
    .option('--tag <key=value>', 'conditions, such as load=free (repeatable)', collect, [])
    .option('--note <text>', 'anything worth noting')
    .option('--session <name>', 'the session that these runs belong to (default: told by date and pauses)')
    .option('--person <name>', 'who times with the stopwatch; see `tablepace practice`')
    .option('--timing-error <duration>', 'how far each time of a sheet may be off (standard deviation)')
    .option('--yes', 'I have read the cautions; do not ask')
}

/** The option for the marks between the first and the last one, at which a stopwatch is pressed too. */
export const MARK_EVERY = [
  '--mark-every <length>',
  'with --stopwatch: distance between the marks pressed on the way, which then count for the feed',
] as const

/** Adds the way past the refusal to write over a file. */
export function withForceOption(command: Command): Command {
  return command.option('--force', 'replace a file that is already there (never the store)')
}

/** Adds `--units in|mm` under a name of the caller's. */
export function unitOption(flags: string, description: string): Option {
  return new Option(flags, description).choices(['in', 'mm'] satisfies LengthUnit[])
}

/** The `--direction` of the call. @throws UsageError `bad-direction` */
export function parseDirection(text: string): Direction {
  return readDirection(text, '--direction')
}

/** Widest tolerance, percent. Judgement: a wider one says nothing of a feed. */
const WIDEST_PERCENT = 50

/** A percentage above zero, with or without its sign. @throws UsageError `bad-number`, `bad-percent` */
export function parsePercent(text: string, what: string): number {
  const percent = parseNumber(text.replace(/\s*%\s*$/, ''), what)
  if (percent > 0 && percent <= WIDEST_PERCENT) return percent
  throw new UsageError(
    'bad-percent',
    `${what}: "${text}" is not above 0 and at most ${WIDEST_PERCENT} percent.`,
    'Write it like 3 or 3%.',
  )
}

/** `key=value` pairs from a repeatable option. */
export function parseTags(pairs: readonly string[]): Record<string, string> {
  const tags: Record<string, string> = {}
  for (const pair of pairs) {
    const at = pair.indexOf('=')
    if (at < 1)
      throw new UsageError(
        'bad-tag',
        `--tag: "${pair}" is not of the form key=value.`,
        'Write it like --tag load=free.',
      )
    tags[pair.slice(0, at).trim()] = pair.slice(at + 1).trim()
  }
  return tags
}

/** Collects a repeatable option. */
export function collect(value: string, earlier: readonly string[]): string[] {
  return [...earlier, value]
}

/** A date or a date with time, as ISO 8601 in UTC. */
export function parseDate(text: string, what = '--since'): string {
  const date = new Date(text)
  if (Number.isNaN(date.getTime())) {
    throw new UsageError(
      'bad-date',
      `${what}: "${text}" is not a date.`,
      'Write it like 2026-11-20 or 2026-11-20T14:30.',
    )
  }
  return date.toISOString()
}
