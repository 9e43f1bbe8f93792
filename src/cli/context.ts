import type { AxisRecord, MachineRecord, Store } from '../store/index.js'

/** The options that stand before or after every command. */
export interface GlobalOptions {
  readonly store?: string
  readonly json?: boolean
}

/** Every axis command says which axis it means, or leaves out what is the only one in the store. */
export interface AxisOptions extends GlobalOptions {
  readonly machine?: string
  readonly axis?: string
}

/** The machine and axis that a command works on. */
export interface Target {
  readonly machine: MachineRecord
  readonly axis: AxisRecord
}

/** Path of the store: the option, else `TABLEPACE_STORE`, else the user's data folder. */
export async function storePath(options: GlobalOptions): Promise<string> {
  const named = options.store ?? process.env.TABLEPACE_STORE
  if (named !== undefined && named !== '') return named
  const { defaultStorePath } = await import('../store/index.js')
  return defaultStorePath()
}

/**
 * Opens the store for one piece of work and closes it whatever happens.
 *
 * @param mode `read` never changes the file; `write` makes it where it is missing
 */
export async function withStore<T>(
  options: GlobalOptions,
  mode: 'read' | 'write',
  work: (store: Store) => T | Promise<T>,
): Promise<T> {
  const { openStore } = await import('../store/index.js')
  const store = openStore(await storePath(options), { mode })
  try {
    return await work(store)
  } finally {
    store.close()
  }
}

/** As `withStore`, with the machine and axis found. */
export function withTarget<T>(
  options: AxisOptions,
  mode: 'read' | 'write',
  work: (store: Store, target: Target) => T | Promise<T>,
): Promise<T> {
  return withStore(options, mode, (store) => work(store, resolveTarget(store, options)))
}

/** The machine and axis named by the options, or the only ones there are. */
export function resolveTarget(store: Store, options: AxisOptions): Target {
  return store.resolveAxis({
    ...(options.machine === undefined ? {} : { machine: options.machine }),
    ...(options.axis === undefined ? {} : { axis: options.axis }),
  })
}
