import { UsageError } from '../errors/index.js'
import type { Machine, MachineAxis, Store } from '../store/index.js'
import { rangedSetting } from '../units/index.js'
import { say } from './terminal/terminal.js'

// Not by the door of jobs, which brings everything: every command imports this file.
export { nowIso } from '../jobs/now.js'

/**
 * How long a command waits for another program that is writing to the store, s. Judgement: as long as a person
 * waits who is told why.
 */
const BUSY_WAIT_S = 5

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

/** A command that writes a file says whether it may replace one that is there. */
export interface WritingOptions extends GlobalOptions {
  readonly force?: boolean
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
  const path = await storePath(options)
  const store = openStore(path, {
    mode,
    patience: {
      furtherMs: 1000 * BUSY_WAIT_S,
      onWaiting: () =>
        say(`Another program is writing to the store ${path}; waiting up to ${BUSY_WAIT_S} s …`),
    },
  })
  try {
    if (store.leftOut !== null) say(store.leftOut)
    return await work(store)
  } finally {
    store.close()
  }
}

/** As `withStore`, with the machine and axis found that the options name or that are the only ones. */
export function withAxis<T>(
  options: AxisOptions,
  mode: 'read' | 'write',
  work: (store: Store, target: MachineAxis) => T | Promise<T>,
): Promise<T> {
  return withStore(options, mode, (store) =>
    work(store, store.axes.resolve({ machine: options.machine, axis: options.axis })),
  )
}

/**
 * As `withAxis`, where a setting may say which range of a dial it stands in: `HI 4` of axis X is 4 of axis X-HI.
 *
 * @param setting as it was typed; undefined where none was
 */
export function withSettingAxis<T>(
  options: AxisOptions,
  mode: 'read' | 'write',
  setting: string | undefined,
  work: (store: Store, target: MachineAxis, setting: string | undefined) => T | Promise<T>,
): Promise<T> {
  return withStore(options, mode, (store) => {
    const asked = { machine: options.machine, axis: options.axis }
    const ranges = store.axes.ranges(asked)
    const among = ranges.length > 0 ? ranges : [store.axes.resolve(asked)]
    const named = rangedSetting(
      setting ?? '',
      among.flatMap(({ axis }) => axis.range?.name ?? []),
    )
    const meant = named && among.find(({ axis }) => axis.range?.name === named.range)
    return meant ? work(store, meant, named.setting) : work(store, store.axes.resolve(asked), setting)
  })
}

/** Says where recordings of the axis were broken off before being judged. */
export async function tellBrokenOff(store: Store, { axis }: MachineAxis): Promise<void> {
  const { brokenOffNotice } = await import('../jobs/index.js')
  const notice = brokenOffNotice(store, axis)
  if (notice !== null) say(notice)
}

/** The machine named, or the only one there is. */
export function onlyMachine(store: Store, name: string | undefined): Machine {
  if (name !== undefined) return store.machines.byName(name)
  const [first, ...others] = store.machines.list()
  if (first === undefined) throw store.machines.unknown(null)
  if (others.length > 0) {
    const names = [first, ...others].map((machine) => machine.name).join(', ')
    throw new UsageError(
      'which-machine',
      `There are several machines: ${names}.`,
      'Name one with --machine NAME.',
    )
  }
  return first
}
