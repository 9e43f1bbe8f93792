import { join } from 'node:path'

/** Where the store lies when nothing else is said: the user's data folder by the platform's convention. */
export async function defaultStorePath(): Promise<string> {
  // Loaded only when asked for: a lookup with the store named on the command line does without.
  const { default: envPaths } = await import('env-paths')
  return join(envPaths('tablepace', { suffix: '' }).data, 'store.db')
}
