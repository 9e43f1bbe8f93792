import { existsSync } from 'node:fs'
import { type AxisInventory, inventoryOf } from '../jobs/index.js'
import { countOf } from '../text/index.js'
import { type GlobalOptions, storePath, withStore } from './context.js'
import { printJson, printResult } from './terminal/terminal.js'
import { argument, EXAMPLE_FEED, EXAMPLE_TRAVEL } from './wording.js'

/** Lines that the program says without a command, at most. */
const MOST_AXES = 3

/** What a machine or an axis lacks next, and the command that does it. */
interface NextStep {
  readonly state: string
  readonly commands: readonly string[]
}

/** `tablepace` alone: what is in this store, and what to do next, in ten lines. */
export async function whatNext(options: GlobalOptions): Promise<void> {
  const path = await storePath(options)
  const { axes, retired } = existsSync(path)
    ? await withStore(options, 'read', (store) => ({
        axes: inventoryOf(store),
        retired: store.machines.list({ includeRemoved: true }).map(({ name }) => name),
      }))
    : { axes: [], retired: [] }
  const steps = axes.length > 0 ? axes.map(stepFor) : retired.length > 0 ? [bringBack(retired)] : [FIRST]
  if (options.json) return printJson({ store: path, next: steps })
  const more =
    steps.length > MOST_AXES ? [`… and ${steps.length - MOST_AXES} more: tablepace machine list`] : []
  printResult(
    [
      ...steps
        .slice(0, MOST_AXES)
        .flatMap(({ state, commands }) => [state, ...commands.map((one) => `  ${one}`)]),
      ...more,
      'On a page in the browser, also on a phone: tablepace serve',
      'All commands: tablepace --help',
    ].join('\n'),
  )
}

const FIRST: NextStep = {
  state: 'There is no machine in the store yet. Try a simulated mill, or enter yours:',
  commands: [
    'tablepace --store demo.db demo',
    'tablepace machine add "My mill" --units in',
    'tablepace axis add X --travel 20in --dial 0..10 --marks 2,4,6,8,10',
  ],
}

/** Where every machine of the store is retired. */
function bringBack(retired: readonly string[]): NextStep {
  return {
    state: 'Every machine in this store is retired. Bring back what is used again:',
    commands: [...new Set(retired)]
      .slice(0, MOST_AXES)
      .map((name) => `tablepace machine restore ${argument(name)}`),
  }
}

function stepFor({ machine, axis, only, runs, tables, unit }: AxisInventory): NextStep {
  if (axis === null) {
    const named = only ? '' : ` --machine ${argument(machine)}`
    return {
      state: `${machine} has no axis yet. Add one:`,
      commands: [
        `tablepace axis add X${named} --travel ${EXAMPLE_TRAVEL[unit]} --dial 0..10 --marks 2,4,6,8,10`,
      ],
    }
  }
  const which = only ? '' : ` --machine ${argument(machine)} --axis ${argument(axis)}`
  if (runs === 0) {
    return {
      state: `${machine} ${axis} has no runs yet. Measure with a readout or a stopwatch:`,
      commands: [`tablepace calibrate --port PATH${which}`, `tablepace calibrate --stopwatch${which}`],
    }
  }
  const found = `${machine} ${axis} has ${countOf(runs, 'run')}`
  if (tables === 0) {
    return { state: `${found} and no table yet. Make it:`, commands: [`tablepace fit${which}`] }
  }
  return {
    state: `${found} and a table. Look up, or check it after work on the machine:`,
    commands: [`tablepace dial ${EXAMPLE_FEED[unit]}${which}`, `tablepace recheck --within 3 --plan${which}`],
  }
}
