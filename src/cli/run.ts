import { type Command, CommanderError } from 'commander'
import { TablepaceError, UsageError } from '../errors/index.js'
import { refuseControls, withoutControls } from '../text/index.js'
import type { GlobalOptions } from './context.js'
import {
  clearStatus,
  paint,
  printError,
  printErrorJson,
  printJson,
  printResult,
  watchOutput,
} from './terminal/terminal.js'
import { onCommandLine } from './wording.js'

/**
 * Runs one command line and gives the exit code. Every failure ends here: one sentence and a hint on
 * stderr (as JSON when asked), never a stack trace unless `TABLEPACE_DEBUG` is set.
 *
 * @param args the command line without node and the script
 * @param build makes the program that reads them
 * @param bare what is done where no command is given; null where that cannot be
 * @returns the exit code
 */
export async function run(
  args: readonly string[],
  build: () => Command,
  bare: ((options: GlobalOptions) => Promise<void>) | null = null,
): Promise<number> {
  const asJson = args.includes('--json')
  watchOutput((failure) => report(failure, asJson))
  // Not an option of the program: `table --version N` means a version of the table.
  const [asked, ...more] = args.filter((arg) => arg !== '--json')
  if (more.length === 0 && (asked === '--version' || asked === '-V')) {
    const { default: packageJson } = await import('../../package.json', { with: { type: 'json' } })
    if (asJson) printJson({ version: packageJson.version })
    else printResult(packageJson.version)
    return 0
  }
  const program = build()
  try {
    // Names, notes and tags all come this way; what a terminal would obey is kept out of the store.
    for (const arg of args) refuseControls(arg, `The argument "${withoutControls(arg)}"`)
    if (bare !== null && isBare(args)) await bare(bareOptions(program, args))
    else await program.parseAsync(args, { from: 'user' })
    return typeof process.exitCode === 'number' ? process.exitCode : 0
  } catch (error) {
    if (error instanceof CommanderError && error.exitCode === 0) return 0
    const failure = asTablepaceError(error, program, args)
    clearStatus()
    report(failure, asJson)
    return failure.exitCode
  }
}

/** Whether the program was called without a command: with the options that stand before one, or with nothing. */
function isBare(args: readonly string[]): boolean {
  return args.every((arg, i) => arg === '--json' || /^--store(=|$)/.test(arg) || args[i - 1] === '--store')
}

function bareOptions(program: Command, args: readonly string[]): GlobalOptions {
  program.parseOptions([...args])
  return program.opts<GlobalOptions>()
}

function report(failure: TablepaceError, asJson: boolean): void {
  if (process.env.TABLEPACE_DEBUG) printError(String(failure.stack))
  const { code, said } = failure
  const [message, hint] = [onCommandLine(said.message), onCommandLine(said.hint)]
  if (asJson) printErrorJson({ error: { code, message, hint } })
  else printError(`${paint('red', 'tablepace:')} ${message}\n  ${hint}`)
}

/** Where the right use is to be seen: the help of the command that was asked for, with its examples. */
function seeHelp(program: Command, args: readonly string[]): string {
  let asked = program
  const names: string[] = []
  for (const arg of args) {
    const found = asked.commands.find((command) => command.name() === arg)
    if (found === undefined) continue
    asked = found
    names.push(arg)
  }
  return names.length === 0
    ? '`tablepace --help` lists all commands.'
    : `\`tablepace ${names.join(' ')} --help\` tells how it is used, with examples.`
}

/** What commander says is missing or misspelt, in one sentence. */
function saidByUs(message: string): string {
  return message
    .replace(/^required option '(.+)' not specified/, '$1 is missing')
    .replace(/^missing required argument '(.+)'/, 'no $1 was given')
    .replace(/^option '(.+)' argument missing/, '$1 was given without a value')
    .replace(
      /^option '(\S+).*' argument '(.*)' is invalid\. Allowed choices are (.+?)\.?$/,
      '$1: "$2" is none of $3',
    )
    .replace(
      /^too many arguments for '(.+)'\. Expected (\d+) .*/,
      (_, name, most) =>
        `too many words were given to ${name}, which takes ${most === '0' ? 'none' : most} besides its options`,
    )
    .replace(/\s*\(Did you mean (one of )?(.+)\?\)$/, '; perhaps $1$2 was meant')
}

/** Commander's complaints are wrong use; anything unforeseen is our fault and says so. */
function asTablepaceError(error: unknown, program: Command, args: readonly string[]): TablepaceError {
  if (error instanceof TablepaceError) return error
  if (error instanceof CommanderError) {
    if (error.code === 'commander.help')
      return new UsageError('bad-usage', 'No command was given.', seeHelp(program, args))
    const message = saidByUs(error.message.replace(/^error: /, '')).replace(/\.?\s*$/, '.')
    return new UsageError('bad-usage', capitalise(message), seeHelp(program, args))
  }
  if (isPromptAbandoned(error)) {
    return new UsageError(
      'abandoned',
      'Stopped at a question; nothing was started.',
      'Give --yes to start without being asked.',
    )
  }
  const message = error instanceof Error ? error.message : String(error)
  return new UnforeseenError(message, error)
}

function isPromptAbandoned(error: unknown): boolean {
  return error instanceof Error && error.name === 'ExitPromptError'
}

function capitalise(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1)
}

class UnforeseenError extends TablepaceError {
  readonly exitCode = 5

  constructor(message: string, cause: unknown) {
    super(
      'unforeseen',
      `Something went wrong that tablepace did not foresee: ${message.split('\n')[0]}`,
      'What was measured so far is in the store. Run again with TABLEPACE_DEBUG=1 to see where, and report it.',
      { cause },
    )
  }
}
