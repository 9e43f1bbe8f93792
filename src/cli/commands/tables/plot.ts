import type { Command } from 'commander'
import { UsageError } from '../../../errors/index.js'
import type { DrawnTable, RunTrack } from '../../../pictures/index.js'
import type { MachineAxis, Run, Store, StoredTable } from '../../../store/index.js'
import { fromMm, type LengthUnit } from '../../../units/index.js'
import { tablesTold } from '../../asked-tables.js'
import { type AxisOptions, type WritingOptions, withAxis } from '../../context.js'
import { feedQuantity, storedRunJson, tableJson } from '../../json-shapes.js'
import { withAxisOptions, withDirectionOption, withForceOption } from '../../options.js'
import { plotSize } from '../../render/plot-size.js'
import { writePicture } from '../../render/write-picture.js'
import { printJson, printResult } from '../../terminal/terminal.js'

interface PlotOptions extends AxisOptions, WritingOptions {
  readonly direction?: string
  readonly to?: string
}

/** Lines of a plot in the terminal. Judgement: it fits a small window (24 lines) with its titles. */
const PLOT_LINES = 18

const TO = 'the picture as an SVG file; - for standard output; without it a plot in the terminal'

/** `plot curve` and `plot run` draw what was found: in the terminal, or as SVG for the screen and for print. */
export function registerPlot(program: Command): void {
  const plot = program.command('plot').description('draw the dial curve, or one run')
  withForceOption(
    withDirectionOption(
      withAxisOptions(
        plot
          .command('curve')
          .description('feed against dial: the curve, its bands and the marks; a picture shows the runs too'),
      ),
    ).option('--to <file>', TO),
  )
    .addHelpText(
      'after',
      '\nExamples\n  tablepace plot curve\n  tablepace plot curve --direction + --to curve.svg\n',
    )
    .action((_: unknown, command: Command) => plotCurve(command.optsWithGlobals()))
  withForceOption(
    withAxisOptions(
      plot
        .command('run <id>')
        .description('one run: position against time, and how straight its steady part is'),
    ).option('--to <file>', TO),
  )
    .addHelpText(
      'after',
      '\nExample (`tablepace runs` lists the ids)\n  tablepace plot run F1GHJK --to run.svg\n',
    )
    .action((id: string, _: unknown, command: Command) => plotRun(id, command.optsWithGlobals()))
}

function plotCurve(options: PlotOptions): Promise<void> {
  return withAxis(options, 'read', async (store, { axis }) => {
    const tables = (await tablesTold(store, axis, options)).map((table) => drawnTable(store, axis.id, table))
    const { curveData, curvePicture } = await import('../../../pictures/index.js')
    if (options.to !== undefined) return writePicture(options.to, curvePicture(tables), store.path, options)
    if (options.json) return printJson({ tables: tables.map(curveJson) }, axis)
    const { renderCurvePlot } = await import('../../render/plots.js')
    printResult(renderCurvePlot(curveData(tables), terminalSize()))
  })
}

interface RunsOfTable extends DrawnTable {
  readonly stored: readonly Run[]
}

function drawnTable(store: Store, axisId: number, table: StoredTable): RunsOfTable {
  const used = new Set(table.runIds)
  const stored = store.runs.list(axisId, { direction: table.direction }).filter((run) => used.has(run.id))
  const runs = stored.flatMap(({ dial, feed, source }) =>
    dial === 'rapid' || feed === null ? [] : [{ dial, feedMmPerMin: feed.feedMmPerMin, source }],
  )
  return { table, runs, stored }
}

function curveJson({ table, stored }: RunsOfTable): unknown {
  return {
    ...tableJson(table),
    runs: stored.map((run) => ({
      id: run.id,
      dial: run.dial,
      source: run.source,
      feed: run.feed && feedQuantity(run.feed.feedMmPerMin, table.unit),
    })),
  }
}

function plotRun(id: string, options: PlotOptions): Promise<void> {
  return withAxis({ ...options }, 'read', async (store, target) => {
    const run = runOfAxis(store, target, id)
    const { unit } = target.axis
    const { runSamples } = await import('../../../jobs/index.js')
    const { runPicture, runTrack } = await import('../../../pictures/index.js')
    const { runHeading } = await import('../../../words/index.js')
    const track = runTrack(runSamples(store, target.axis, run), run.phases, run.feed?.ripple ?? null)
    const heading = runHeading(run, target, unit)
    if (options.to !== undefined)
      return writePicture(options.to, runPicture(heading, track, unit), store.path, options)
    if (options.json) return printJson(runPlotJson(run, track, unit), target.axis)
    const { renderRunPlot } = await import('../../render/plots.js')
    printResult(renderRunPlot(heading, track, unit, terminalSize()))
  })
}

function runOfAxis(store: Store, { machine, axis }: MachineAxis, id: string): Run {
  const run = store.runs.find(id)
  if (run.axisId === axis.id) return run
  throw new UsageError(
    'other-axis',
    `Run ${id} was not made on ${machine.name} ${axis.name}.`,
    'Name its machine and axis with --machine and --axis.',
  )
}

function runPlotJson(run: Run, track: RunTrack, unit: LengthUnit): unknown {
  const lengths = (values: readonly number[]) => values.map((value) => fromMm(value, unit))
  const { steady } = track
  return {
    run: storedRunJson(run, unit),
    unit,
    track: { timeS: track.timeS, position: lengths(track.positionMm) },
    phases: track.phases,
    steady: steady && {
      timeS: steady.timeS,
      residual: lengths(steady.residualMm),
      ripple: steady.rippleMm && lengths(steady.rippleMm),
    },
  }
}

function terminalSize() {
  return plotSize(process.stdout, PLOT_LINES, process.env, process.platform)
}
