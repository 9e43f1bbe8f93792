import type { RunHeading } from '../pictures/index.js'
import type { MachineAxis, Run } from '../store/index.js'
import { shortId } from '../text/index.js'
import {
  directionSign,
  feedUnit,
  formatDial,
  formatFeed,
  formatPercentHalfWidth,
  fromMm,
  type LengthUnit,
} from '../units/index.js'

/** What stands above the picture of a run: what it was, what it gave, and its ripple where it has one. */
export function runHeading(run: Run, { machine, axis }: MachineAxis, unit: LengthUnit): RunHeading {
  return {
    title: `${machine.name} · ${axis.name}: dial ${formatDial(run.dial, axis)}, direction ${directionSign(run.direction)}`,
    subtitles: [
      `${feedOf(run, unit)}${rippleOf(run, unit)}`,
      `run ${shortId(run.id)} of ${run.createdAt.slice(0, 10)}, ${run.judgedWith}`,
    ],
  }
}

function feedOf({ feed, rejection }: Run, unit: LengthUnit): string {
  if (feed === null) return `left out: ${rejection?.message ?? 'it gave no feed'}`
  const { feedMmPerMin, interval95MmPerMin } = feed
  const within = formatPercentHalfWidth(feedMmPerMin, interval95MmPerMin)
  return `${formatFeed(feedMmPerMin, interval95MmPerMin, unit)} ${feedUnit(unit)} (${within} for this run alone, 95 %)`
}

function rippleOf({ feed }: Run, unit: LengthUnit): string {
  const ripple = feed?.ripple
  if (!ripple) return ''
  const size = (mm: number, digits: number) => fromMm(mm, unit).toPrecision(digits)
  return `; ripple of ${size(ripple.amplitudeMm, 2)} ${unit} every ${size(ripple.periodMm, 3)} ${unit}`
}
