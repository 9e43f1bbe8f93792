import { mkdtempSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { tablesToCsv, tablesToJson } from '../../export/index.js'
import { writeFile } from '../../files/index.js'
import {
  addSimulatedMill,
  compareWithTruth,
  type DemoRun,
  type FitOutcome,
  findProcedure,
  fitTables,
  simulatedCalibration,
} from '../../jobs/index.js'
import { dialForFeed, feedAtDial, type Procedure } from '../../planning/index.js'
import { QUILLFEN_MILL } from '../../simulation/index.js'
import { type MachineAxis, openStore, type Store } from '../../store/index.js'
import { directionSign, formatFeed, parseNumber, toMm } from '../../units/index.js'
import { type GlobalOptions, nowIso } from '../context.js'
import { tableJson } from '../json-shapes.js'
import { loadText, measuredAs } from '../load.js'
import { dialJson, feedAnswerJson, renderDial, renderFeed } from '../lookup/lookup-answers.js'
import { renderFeedTable } from '../render/feed-table.js'
import { clearStatus, printJson, printResult, say, showStatus } from '../terminal/terminal.js'
import { judgeAgainstTruth, renderTruth } from './truth.js'

interface DemoOptions extends GlobalOptions {
  readonly seed: string
  readonly procedure: string
}

/** The feed that the demo looks up, in/min (judgement: any that no mark gives). */
const WANTED_IN_PER_MIN = 7
/** The dial setting that the demo looks up (judgement: any between two marks). */
const ASKED_DIAL = 3.5

/** The whole main job on the simulated mill; see `demo`. */
export async function runDemo(options: DemoOptions): Promise<void> {
  // Before anything is put into a store.
  const procedure = await findProcedure(options.procedure)
  const seed = parseNumber(options.seed, '--seed')
  const folder = mkdtempSync(join(tmpdir(), 'tablepace-demo-'))
  const path = options.store ?? join(folder, 'store.db')
  const store = openStore(path, { mode: 'write' })
  try {
    const target = addSimulatedMill(store, QUILLFEN_MILL, nowIso())
    say(
      `A simulated mill of our own invention, ${target.machine.name}: nothing moves, but every byte takes the same way`,
    )
    say(
      'as from a real readout. On a real machine this is where the cautions stand: spindle off, travel clear.',
    )
    const runs = await record(store, target, procedure, seed)
    const outcome = fitTables(store, target.axis, { filter: {}, reason: null, fittedAt: nowIso() })
    present(runs, outcome, { path, folder, json: options.json === true })
  } finally {
    store.close()
  }
}

async function record(
  store: Store,
  { axis }: MachineAxis,
  procedure: Procedure,
  seed: number,
): Promise<DemoRun[]> {
  const session = { seed, startedAt: nowIso() }
  const runs: DemoRun[] = []
  for await (const run of simulatedCalibration(store, axis, QUILLFEN_MILL, procedure, session)) {
    runs.push(run)
    const feed = run.outcome.runs[0]?.feed
    const found = feed
      ? `${formatFeed(feed.feedMmPerMin, feed.interval95MmPerMin, axis.unit)} ${axis.unit}/min`
      : 'no run'
    showStatus(
      `  run ${run.done} of ${run.total}: dial ${run.truth.dial} ${directionSign(run.truth.direction)} → ${found}`,
    )
    if (process.stderr.isTTY !== true && run.done % 10 === 0)
      say(`  ${run.done} of ${run.total} runs recorded`)
  }
  clearStatus()
  return runs
}

function present(
  runs: readonly DemoRun[],
  { tables, fitted }: FitOutcome,
  place: { readonly path: string; readonly folder: string; readonly json: boolean },
): void {
  const [table] = tables
  if (table === undefined) return
  const wantedMmPerMin = toMm(WANTED_IN_PER_MIN, 'in')
  const dial = dialForFeed(table, wantedMmPerMin)
  const feed = feedAtDial(table, ASKED_DIAL)
  const exports = [join(place.folder, 'feeds.csv'), join(place.folder, 'feeds.json')] as const
  const contents = [tablesToCsv(tables), tablesToJson(tables)]
  for (const [index, path] of exports.entries())
    writeFile({ path, force: false, store: place.path }, contents[index] ?? '')
  const truth = judgeAgainstTruth(
    runs,
    tables.map((one) => compareWithTruth(one, QUILLFEN_MILL)),
    fitted,
  )
  if (place.json) {
    printJson({
      store: place.path,
      runs: runs.length,
      tables: tables.map(tableJson),
      dial: { ...dialJson(wantedMmPerMin, dial, table), measured: measuredAs(null) },
      feed: { ...feedAnswerJson(feed, table), measured: measuredAs(null) },
      exports,
      truth,
    })
    return
  }
  printResult(
    [
      `${runs.length} runs recorded, judged and fitted.`,
      '',
      tables.map(renderFeedTable).join('\n\n'),
      '',
      `$ tablepace dial ${WANTED_IN_PER_MIN}in/min`,
      renderDial(wantedMmPerMin, dial, table),
      ...loadText(null),
      '',
      `$ tablepace feed ${ASKED_DIAL}`,
      renderFeed(feed, table),
      ...loadText(null),
      '',
      renderTruth(truth, table.unit),
      '',
      `Store: ${place.path}`,
      `Exports: ${exports.join(', ')}`,
    ].join('\n'),
  )
}
