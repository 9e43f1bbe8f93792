/** The words before which an option's value stands. */
const WITH_VALUE = new Set(['--store', '--machine', '--axis', '--direction', '--load', '--rpm', '--session'])

/**
 * Whether a command line asks `dial` or `feed`, and not for their help. An option missing above costs time alone.
 *
 * @param args the command line without node and the script
 */
export function asksLookup(args: readonly string[]): boolean {
  const command = args.find((arg, i) => !arg.startsWith('-') && !WITH_VALUE.has(args[i - 1] ?? ''))
  return (command === 'dial' || command === 'feed') && !args.includes('--help') && !args.includes('-h')
}
