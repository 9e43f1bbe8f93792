import {
  fitTables,
  type GoodEnough,
  SWEEP_CALIBRATION,
  type Sweeps,
  SweepsUntilGoodEnough,
  sweepCalibration,
  travelsBegan,
  traverseOccasion,
} from '../../jobs/index.js'
import type { MachineAxis, Store } from '../../store/index.js'
import { countOf } from '../../text/index.js'
import { outOfReachTexts, standText } from '../../words/index.js'
import { presentFit } from '../commands/tables/fit.js'
import { nowIso, tellBrokenOff } from '../context.js'
import { followReadout, onInterrupt } from '../live/follow-readout.js'
import { tellCue } from '../live/sweep-text.js'
import { parseDirection, parseTags } from '../options.js'
import { showCautions } from '../terminal/cautions.js'
import { clearStatus, say } from '../terminal/terminal.js'
import { type ConditionOptions, conditionsFrom, type LineOptions } from '../traverse/options.js'
import { type CalibrateOptions, goodEnoughOf } from './options.js'

/**
 * `calibrate --sweep`: travels to and fro with the knob turned on the way, until every mark has its runs, then fits.
 * Broken off, what was made is kept and counts in every fit.
 *
 * @throws UsageError `no-marks`; DeviceError when the port fails and does not come back
 */
export async function calibrateBySweeps(
  store: Store,
  target: MachineAxis,
  options: CalibrateOptions,
): Promise<void> {
  const goodEnough = goodEnoughOf(options)
  if (goodEnough !== null) {
    await sweepsUntilGoodEnough(store, target, options, goodEnough)
    return
  }
  const { axis } = target
  const directions =
    options.direction === undefined ? ([1, -1] as const) : [parseDirection(options.direction)]
  const began = options.new === true ? nowIso() : travelsBegan(store, axis, nowIso())
  const sweeps = sweepCalibration(store, axis, directions, began)
  await tellBrokenOff(store, target)
  await showCautions(traverseOccasion(parseTags(options.tag)), options.yes === true, 'is-refused')
  const { missing, total } = sweeps
  if (missing < total) {
    say(`Carrying on with the last session: ${total - missing} of ${total} runs are done. --new starts over.`)
  }
  say(
    `${missing} runs of ${axis.marks.length} settings, about ${countOf(sweeps.outlook.minutesLeft, 'minute')}. Ctrl-C stops; what is done is kept.`,
  )
  await runSweeps(store, target, options, sweeps, () => `${sweeps.missing} to go.`)
  if (sweeps.missing > 0) {
    say(
      `Stopped with ${sweeps.missing} runs to go; the same command carries on from here, \`tablepace fit\` fits what there is.`,
    )
    return
  }
  const fit = { filter: {}, reason: SWEEP_CALIBRATION, fittedAt: nowIso() }
  await presentFit(fitTables(store, axis, fit), options.json === true)
}

/** `calibrate --sweep --within`: travels to and fro until every place is good enough, then fits. */
async function sweepsUntilGoodEnough(
  store: Store,
  target: MachineAxis,
  options: CalibrateOptions,
  goodEnough: GoodEnough,
): Promise<void> {
  const { axis } = target
  const sweeps = new SweepsUntilGoodEnough(store, axis, goodEnough)
  await tellBrokenOff(store, target)
  await showCautions(traverseOccasion(parseTags(options.tag)), options.yes === true, 'is-refused')
  say(`${standText(sweeps.advice)} Ctrl-C stops; what is done is kept.`)
  const made = await runSweeps(store, target, options, sweeps, () => {
    const { runs, minutes } = sweeps.advice
    return runs === 0
      ? 'no more to go.'
      : `about ${runs} more to go, about ${countOf(minutes, 'minute')} left in all.`
  })
  const { advice } = sweeps
  if (advice.next !== null) {
    say(
      `Stopped after ${countOf(made.length, 'run')}; the same command carries on from here, \`tablepace fit\` fits what there is.`,
    )
    return
  }
  for (const line of [standText(advice), ...outOfReachTexts(advice.outOfReach, advice)]) say(line)
  const fit = { filter: {}, reason: SWEEP_CALIBRATION, fittedAt: nowIso() }
  await presentFit(fitTables(store, axis, fit), options.json === true)
}

/**
 * Guides travels through many settings until each has its runs, or until it is broken off.
 *
 * @param left says what is still to be done, after each travel
 * @returns ids of the runs made
 * @throws DeviceError when the port fails and does not come back
 */
export async function runSweeps(
  store: Store,
  target: MachineAxis,
  options: LineOptions & ConditionOptions,
  sweeps: Sweeps,
  left: () => string,
): Promise<string[]> {
  const made: string[] = []
  const { live, ended, end } = await followReadout(store, target, options, (event) => {
    if (event.kind === 'sweep') tellCue(event, target.axis)
    if (event.kind !== 'judged') return
    const { failure, runs } = event.outcome
    if (failure !== null) say(failure.inFull)
    const accepted = runs.filter((run) => run.accepted)
    made.push(...accepted.map((run) => run.id))
    say(`${countOf(accepted.length, 'setting')} measured, ${left()}`)
  })
  const stopListening = onInterrupt(() => end(null))
  try {
    live.arm({ kind: 'sweep', sweeps, conditions: conditionsFrom(options) })
    const failure = await ended
    clearStatus()
    if (failure !== null) throw failure
  } finally {
    stopListening()
    await live.close()
  }
  return made
}
