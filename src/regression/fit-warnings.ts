import { type DialWriting, directionSign, formatDial, writeDial } from '../units/index.js'
import type { WidestGap } from './curve/widest-gap.js'
import type { TableWarning } from './feed-table.js'
import type { EarlierScatter } from './scatter/earlier-scatter.js'
import type { FittedMark } from './scatter/mark-fit.js'
import type { MarkGroup } from './scatter/mark-group.js'
import type { NoisePosterior } from './scatter/noise-model.js'
import { nextHalfWidths } from './scatter/second-run.js'
import { isClear, summarizeWarmUp, type WarmUpFit } from './scatter/warm-up.js'

/**
 * Marks below which the band between them is mostly what they cannot see: over twice as wide as at the marks, by
 * `npm run proof:curve`.
 */
const MARKS_THAT_SHOW_SHAPE = 6

/** Code of the warning that no mark was repeated, so that the scatter is assumed. */
const SCATTER_ASSUMED = 'scatter-assumed'

/** Code of the warning that earlier tables told of the scatter beforehand. */
export const SCATTER_EARLIER = 'scatter-earlier'

/** What a direction's fit needs said, one sentence each. @param gap where its curves lie farthest apart; null for none */
export function fitWarnings(
  groups: readonly MarkGroup[],
  marks: readonly FittedMark[],
  posterior: NoisePosterior,
  curve: 'full' | 'borrowed' | 'sparse' | 'none',
  gap: WidestGap | null,
  before: EarlierScatter | null,
  writing: DialWriting,
): TableWarning[] {
  const warnings: TableWarning[] = []
  if (before !== null) warnings.push({ code: SCATTER_EARLIER, message: earlierSentence(before, posterior) })
  if (posterior.degreesOfFreedom === 0 && before === null) {
    warnings.push({
      code: SCATTER_ASSUMED,
      message: assumedSentence(groups, posterior),
    })
  } else if (posterior.degreesOfFreedom > 0) {
    const single = groups.filter((group) => group.feedsMmPerMin.length === 1)
    if (single.length > 0) {
      warnings.push({
        code: 'single-runs',
        message: `In direction ${directionSign(single[0]!.direction)} only one run was made at ${listDials(single, writing)}; the interval there rests on the scatter of the other marks.`,
      })
    }
  }
  const shared = groups.filter((group) => group.settings.length < group.feedsMmPerMin.length)
  if (shared.length > 0) {
    const never = groups.every((group) => group.settings.length === 1)
    warnings.push({
      code: 'same-setting',
      message: never
        ? 'The dial was never set again between two runs, so how much that moves the feed is assumed, not measured. Turn the dial away and back before each run.'
        : `At ${listDials(shared, writing)} some runs were made without setting the dial again; they show only the scatter from run to run.`,
    })
  }
  const creeping = groups.filter((group) => group.creeps && group.meanFeedMmPerMin > 0)
  if (creeping.length > 0) {
    warnings.push({
      code: 'creeps',
      message: `At ${listDials(creeping, writing)} the table only creeps, and the scatter there says nothing about the other marks.`,
    })
  }
  const still = groups.filter((group) => group.meanFeedMmPerMin <= 0)
  if (still.length > 0) {
    warnings.push({
      code: 'does-not-move',
      message: `At ${listDials(still, writing)} the table does not move.`,
    })
  }
  if (curve === 'sparse') {
    warnings.push({
      code: 'few-marks',
      message:
        'Too few marks to show the shape of the dial curve. Between marks the feed is interpolated and its interval is only a guess. Measure 4 marks or more with 2 runs each.',
    })
  }
  if (curve === 'full' && marks.length < MARKS_THAT_SHOW_SHAPE) {
    warnings.push({ code: 'marks-far-apart', message: fewMarksSentence(marks.length, gap) })
  }
  if (curve === 'full' && gap !== null) {
    const dials = [gap.from, gap.to]
    warnings.push({ code: 'widest-gap', message: gapSentence(gap, writing), dials })
  }
  return warnings
}

function fewMarksSentence(marks: number, gap: WidestGap | null): string {
  const shown = `${marks} marks cannot show a kink or a flat stretch between them, so the band there is wide.`
  return gap === null
    ? `${shown} Add a mark in each gap: that helps more than further runs at the same marks.`
    : shown
}

/** Where the curve is least sure, and what one more mark there is worth. */
function gapSentence(gap: WidestGap, writing: DialWriting): string {
  const { direction, from, to, dial, percent, atMarksPercent } = gap
  const [low, high] = [writeDial(from, writing), writeDial(to, writing)]
  const sizes = `± ${percent.toPrecision(2)} %, where these marks are known to ± ${atMarksPercent.toPrecision(2)} %`
  return `In direction ${directionSign(direction)} the curve is least sure between dials ${low} and ${high}: ${sizes}. Measure a mark at ${formatDial(dial, writing)} next; it helps more than further runs at the same marks.`
}

/** What must be said of the warming of the drive. @param drift null where the runs cannot show it */
export function warmUpWarnings(drift: WarmUpFit | null, wanted: boolean): TableWarning[] {
  if (drift === null) {
    if (!wanted) return []
    return [
      {
        code: 'no-warm-up',
        message:
          'The drive warming up could not be allowed for. That needs runs recorded live, not read from files, over ten minutes or more, with marks repeated.',
      },
    ]
  }
  const { changePercent, interval95Percent, sittingS } = summarizeWarmUp(drift, wanted)
  const [low, high] = interval95Percent.map(signed)
  const minutes = `${Math.round(sittingS / 60)} minutes`
  const change = `${signed(changePercent)} % (95 %: ${low} … ${high} %) over ${minutes}`
  if (wanted) {
    return [
      {
        code: 'warm-drive',
        message: `The feed changed by ${change} while the drive warmed up. This is allowed for: the table describes the drive after ${minutes} of running.`,
      },
    ]
  }
  if (!isClear(drift)) return []
  return [
    {
      code: 'feed-drifts',
      message: `The feed changed by ${change}. The table describes the mean over that time; a fit that allows for warming up would describe the warm drive.`,
    },
  ]
}

function signed(percent: number): string {
  return `${percent > 0 ? '+' : ''}${percent.toFixed(2)}`
}

function listDials(groups: readonly MarkGroup[], writing: DialWriting): string {
  return `${groups.length === 1 ? 'dial' : 'dials'} ${groups.map((group) => writeDial(group.dial, writing)).join(', ')}`
}

/** Where the scatter comes from besides the table's own runs. */
function earlierSentence({ runs, degreesOfFreedom }: EarlierScatter, own: NoisePosterior): string {
  const counted = `${runs} runs made before the machine changed, which count half: ${degreesOfFreedom} degrees of freedom`
  return own.degreesOfFreedom === 0
    ? `No mark has a second run. How far runs scatter is taken from ${counted}.`
    : `How far runs scatter is taken from these runs (${own.degreesOfFreedom} degrees of freedom) and from ${counted}.`
}

/** That the scatter is assumed, and what a second run at every mark would make of the intervals. */
function assumedSentence(groups: readonly MarkGroup[], posterior: NoisePosterior): string {
  const { now, withSecondRun } = nextHalfWidths(groups, posterior)
  const opening =
    'No mark has a second run, so the scatter is assumed to be that of common drives and not measured: the intervals are wide.'
  if (now.length === 0) return `${opening} Make a second run at each mark, setting the dial again.`
  const percent = (halves: readonly number[]) => (100 * Math.max(...halves)).toPrecision(2)
  return `${opening} A second run at each mark, setting the dial again, would bring the next setting from ± ${percent(now)} % to about ± ${percent(withSecondRun)} % on a usual machine, at the widest mark.`
}
