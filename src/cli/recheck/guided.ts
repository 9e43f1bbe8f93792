import { DataError } from '../../errors/index.js'
import { type Procedure, suggestedTravel } from '../../planning/index.js'
import { builtInProcedure } from '../../planning/procedures/index.js'
import type { MachineAxis, Store, StoredTable } from '../../store/index.js'
import { GuidedSession, openRecheck, recheckPlan } from '../../workflow/index.js'
import { runReadoutSession } from '../calibrate/readout-session.js'
import { runStopwatchSession } from '../calibrate/stopwatch-session.js'
import { showCautions } from '../cautions.js'
import { nowIso } from '../context.js'
import { formatDial } from '../render/numbers.js'
import { paintErr, say } from '../terminal.js'
import { parseDirections, type RecheckOptions } from './options.js'
import type { Asked } from './recheck.js'

/** From one run to the next: setting the dial, going back, s. Common practice, no source. */
const BETWEEN_RUNS_S = 15

/**
 * Guides the runs that a recheck needs: those an open recheck still asks for, else those of the marks that tell most.
 *
 * @returns ids of the runs made; null where the session was left before its end, which goes on next time
 * @throws DataError `no-plan` where no mark of the table can be rechecked
 */
export async function guidedRuns(
  store: Store,
  target: MachineAxis,
  options: RecheckOptions,
  asked: Asked,
  tag: string,
): Promise<string[] | null> {
  const { axis } = target
  const source = options.stopwatch ? 'stopwatch' : 'readout'
  const tables = checkedTables(store, target, options)
  const open = options.new ? null : openRecheck(store, axis, asked.reason)
  const runs =
    open !== null && open.next.length > 0 ? open.next : recheckPlan(store, axis, tables, asked.withinPercent)
  if (runs.length === 0) throw noPlan()
  const procedure: Procedure = {
    ...builtInProcedure(source === 'stopwatch' ? 'stopwatch' : 'standard'),
    name: 'recheck',
    title: `Recheck: ${asked.reason}`,
    marks: runs.map(({ dial }) => dial),
  }
  const directions = tables.map((table) => table.direction)
  const session = GuidedSession.openRecheck(
    store,
    axis,
    { reason: asked.reason, runs, directions, source, fresh: options.new === true },
    nowIso(),
  )
  say(paintErr('bold', procedure.title))
  say(
    `${session.plan.steps.length} runs at ${runs.map(({ dial }) => `dial ${formatDial(dial)}`).join(', ')}, about ${minutesFor(session, procedure, target)} minutes.`,
  )
  if (session.resumed) {
    say(
      `Going on where the last session stopped: ${session.doneSteps.length} of ${session.plan.steps.length} runs are done.`,
    )
  }
  await showCautions('beforeTraverse', options.yes === true)
  const run = source === 'stopwatch' ? runStopwatchSession : runReadoutSession
  const tagged = { ...options, tag: [...options.tag, tag] }
  const complete = await run(session, procedure, { store, target, options: tagged })
  if (!complete) {
    say(
      `Stopped at ${session.doneSteps.length} of ${session.plan.steps.length} runs; the same command goes on from here.`,
    )
    return null
  }
  session.end(nowIso())
  return [...session.runIds]
}

/** Tables in force that the runs are to check: of the directions asked for, else of + as in a lookup, else of -. */
function checkedTables(store: Store, { axis }: MachineAxis, options: RecheckOptions): StoredTable[] {
  const asked = parseDirections(options.direction)
  const there = (asked ?? ([1, -1] as const)).flatMap(
    (direction) => store.tables.inForce(axis.id, direction) ?? [],
  )
  const tables = asked === null ? there.slice(0, 1) : there
  if (tables.length > 0) return tables
  throw new DataError(
    'no-table',
    'There is no table to recheck for this axis and direction.',
    'Record runs with `tablepace calibrate`, then `tablepace fit`.',
  )
}

function minutesFor(session: GuidedSession, procedure: Procedure, { axis }: MachineAxis): number {
  const seconds = session.plan.steps.reduce((sum, step) => {
    const feedMmPerMin = session.expectedFeedMmPerMin(step)
    const { minimumTravelTimeS: minimumTimeS, longestTravelShare } = procedure
    const travelS =
      feedMmPerMin === null
        ? minimumTimeS
        : suggestedTravel({ feedMmPerMin, travelMm: axis.travelMm, minimumTimeS, longestTravelShare }).timeS
    return sum + travelS + 2 * procedure.restS + BETWEEN_RUNS_S
  }, 0)
  return Math.max(1, Math.round(seconds / 60))
}

function noPlan(): DataError {
  return new DataError(
    'no-plan',
    'Nothing tells how far feeds scatter on this axis, so no runs can be planned.',
    'Calibrate first with two runs a mark or more: tablepace calibrate',
  )
}
