import type { compareWithTruth, DemoRun, TruthComparison } from '../../jobs/index.js'
import type { FittedAxis } from '../../regression/index.js'
import { QUILLFEN_MILL } from '../../simulation/index.js'
import {
  directionSign,
  feedUnit,
  formatDial,
  formatFeed,
  formatInterval,
  type LengthUnit,
  NUMBERED,
} from '../../units/index.js'
import { textTable } from '../render/text-table.js'

/** What the program found, held against what the simulation knows. */
interface TruthReport {
  readonly marks: readonly TruthComparison[]
  readonly marksInside: number
  readonly curvePoints: number
  readonly curvePointsInside: number
  /** Largest error of one run's own steady feed, percent. */
  readonly worstRunErrorPercent: number
  readonly runsInsideOwnInterval: number
  readonly runsAccepted: number
  readonly runScatterPercent: { readonly found: number | null; readonly truth: number }
  readonly dialResetScatter: { readonly found: number | null; readonly truth: number }
}

/** Counts how often the intervals hold the truth. */
export function judgeAgainstTruth(
  runs: readonly DemoRun[],
  comparisons: readonly ReturnType<typeof compareWithTruth>[],
  { noise }: FittedAxis,
): TruthReport {
  const judged = runs.flatMap(({ outcome, truth }) =>
    outcome.runs.flatMap(({ feed }) => (feed === null ? [] : [{ feed, trueFeed: truth.runFeedMmPerMin }])),
  )
  const errors = judged.map(({ feed, trueFeed }) => Math.abs(feed.feedMmPerMin / trueFeed - 1))
  const marks = comparisons.flatMap((one) => one.marks)
  const curve = comparisons.flatMap((one) => one.curve)
  const inside = judged.filter(
    ({
      feed: {
        interval95MmPerMin: [low, high],
      },
      trueFeed,
    }) => low <= trueFeed && trueFeed <= high,
  )
  return {
    marks,
    marksInside: marks.filter((mark) => mark.inside).length,
    curvePoints: curve.length,
    curvePointsInside: curve.filter((point) => point.inside).length,
    worstRunErrorPercent: 100 * Math.max(0, ...errors),
    runsInsideOwnInterval: inside.length,
    runsAccepted: judged.length,
    runScatterPercent: {
      found: noise === null ? null : 100 * noise.runRelative,
      truth: 100 * QUILLFEN_MILL.runScatter,
    },
    dialResetScatter: { found: noise?.dialReset ?? null, truth: QUILLFEN_MILL.dialResetScatter },
  }
}

/** The comparison as text: one mark a line, then how often the intervals hold. */
export function renderTruth(report: TruthReport, unit: LengthUnit): string {
  const rows = report.marks.map((mark) => [
    formatDial(mark.dial, NUMBERED),
    directionSign(mark.direction),
    formatFeed(mark.feedMmPerMin, mark.interval95, unit),
    formatInterval(mark.interval95, unit),
    formatFeed(mark.trueFeedMmPerMin, mark.interval95, unit),
    mark.inside ? 'inside' : 'outside',
  ])
  const { runScatterPercent: run, dialResetScatter: reset } = report
  return [
    'Against the simulated truth, which the fit never saw',
    textTable(
      [
        { title: 'dial', align: 'right' },
        { title: 'dir', align: 'left' },
        { title: `found, ${feedUnit(unit)}`, align: 'right' },
        { title: 'mean, 95 %', align: 'left' },
        { title: 'truth', align: 'right' },
        { title: '', align: 'left' },
      ],
      rows,
    ),
    `${report.marksInside} of ${report.marks.length} marks and ${report.curvePointsInside} of ${report.curvePoints} curve points hold the truth (95 % wanted on average).`,
    `Single runs: worst error ${report.worstRunErrorPercent.toFixed(3)} %, ${report.runsInsideOwnInterval} of ${report.runsAccepted} inside their own interval.`,
    `Scatter from run to run: found ${run.found?.toFixed(2) ?? '–'} %, truth ${run.truth.toFixed(2)} %; setting the dial: found ${reset.found?.toFixed(3) ?? '–'}, truth ${reset.truth.toFixed(3)} dial units.`,
  ].join('\n')
}
