// The entry of `dist/lookups.cjs`: what a lookup needs and nothing else.
import { lookupProgram } from './lookup-program.js'
import { run } from './run.js'

/**
 * Runs a command line that asks `dial` or `feed`.
 *
 * @param args the command line without node and the script
 * @returns the exit code
 */
export const runLookup = (args: readonly string[]): Promise<number> => run(args, lookupProgram)
