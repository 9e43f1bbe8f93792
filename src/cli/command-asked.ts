/** The words before which an option's value stands. */
const WITH_VALUE = new Set(['--store', '--machine', '--axis', '--direction', '--load', '--rpm', '--session'])

const HELP = ['--help', '-h']

/**
 * The lookup that a command line asks, or null where it asks something else, or the help of a lookup. An option missing
 * above costs time alone.
 *
 * @param args the command line without node and the script
 */
export function lookupAsked(args: readonly string[]): 'dial' | 'feed' | null {
  const command = firstWord(args)
  if (args.some((arg) => HELP.includes(arg))) return null
  // The rapid traverse is in no table: its feed is fitted from its runs. Neither is the drop under cut.
  if (args.some((arg) => arg.toLowerCase() === 'rapid' || arg.startsWith('--load'))) return null
  return command === 'dial' || command === 'feed' ? command : null
}

/**
 * A name for what of the program a command line will run, fit for a file: that of its command, or `help`; `program` where
 * it names none. A wrong one costs time alone.
 */
export function partAsked(args: readonly string[]): string {
  if (args.some((arg) => HELP.includes(arg))) return 'program-help'
  const command = firstWord(args)
  return command !== undefined && /^[a-z-]{1,20}$/.test(command) ? `program-${command}` : 'program'
}

function firstWord(args: readonly string[]): string | undefined {
  return args.find((arg, i) => !arg.startsWith('-') && !WITH_VALUE.has(args[i - 1] ?? ''))
}
