import type { Command } from 'commander'
import type { MachineAxis, Store } from '../../store/index.js'
import { type AxisOptions, nowIso, withAxis } from '../context.js'
import { runJson } from '../json-shapes.js'
import { withAxisOptions } from '../options.js'
import { renderRuns } from '../render/runs.js'
import { printJson, printResult, say } from '../terminal/terminal.js'

/** `run finish` judges recordings that were broken off. */
export function registerRunFinish(run: Command): void {
  withAxisOptions(
    run.command('finish').description('judge recordings that broke off, from what was saved'),
  ).action((_: unknown, command: Command) => {
    const options = command.optsWithGlobals<AxisOptions>()
    return withAxis(options, 'write', (store, target) => finish(store, target, options))
  })
}

async function finish(store: Store, { axis }: MachineAxis, options: AxisOptions): Promise<void> {
  const { finishBrokenOff } = await import('../../jobs/index.js')
  const { judged, readAgain, empty } = finishBrokenOff(store, axis, nowIso())
  const runs = judged.flatMap((outcome) => outcome.runs)
  for (const path of readAgain) say(`The reading of ${path} was broken off: read it again with --from.`)
  for (const { origin, failure } of judged) if (failure !== null) say(`${origin}: ${failure.message}`)
  if (options.json) {
    printJson(
      {
        runs: runs.map((run) => runJson(run, axis.unit)),
        recordings: judged.length,
        readAgain,
        empty,
      },
      axis,
    )
  } else if (runs.length > 0) printResult(renderRuns(runs, axis))
  else {
    const count = judged.length + readAgain.length + empty
    printResult(count === 0 ? 'No recording broke off.' : 'No traverse was found in what was saved.')
  }
}
