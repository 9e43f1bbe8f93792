/** The words before which an option's value stands. */
const WITH_VALUE = new Set(['--store', '--machine', '--axis', '--direction', '--load', '--rpm', '--session'])

/**
 * The lookup that a command line asks, or null where it asks something else, or the help of a lookup. An option missing
 * above costs time alone.
 *
 * @param args the command line without node and the script
 */
export function lookupAsked(args: readonly string[]): 'dial' | 'feed' | null {
  const command = args.find((arg, i) => !arg.startsWith('-') && !WITH_VALUE.has(args[i - 1] ?? ''))
  if (args.includes('--help') || args.includes('-h')) return null
  // The rapid traverse is in no table: its feed is fitted from its runs.
  if (args.some((arg) => arg.toLowerCase() === 'rapid')) return null
  return command === 'dial' || command === 'feed' ? command : null
}
