import { DataError } from '../errors/index.js'
import type { DialWriting } from '../units/index.js'
import { curveBands, curveGrid } from './curve/dial-curve.js'
import type { DialKind } from './curve/dial-draws.js'
import { showsShape } from './curve/shows-shape.js'
import { widestGap } from './curve/widest-gap.js'
import { directionDifference } from './direction-difference.js'
import type { CurvePoint, FittedAxis, FittedDirection, MethodId, RunEvidence } from './feed-table.js'
import { fitWarnings, warmUpWarnings } from './fit-warnings.js'
import { orderWarnings } from './order-warnings.js'
import { axisScatter, type FitOptions } from './scatter/axis-scatter.js'
import { foundTrend, marksOutOfOrder } from './scatter/dial-trend.js'
import { type EarlierScatter, earlierScatter } from './scatter/earlier-scatter.js'
import { fitMark } from './scatter/mark-fit.js'
import { fastestMark } from './scatter/mark-group.js'
import { type NoisePosterior, summarizeNoise } from './scatter/noise-model.js'
import { summarizeWarmUp } from './scatter/warm-up.js'
import { sessionWarnings, summarizeSessions } from './session-warnings.js'
import {
  borrowedWarning,
  type DrawnCurves,
  drawSideCurves,
  type FittedSide,
  type SharingSides,
  sharingSides,
} from './shared-shape.js'
import { farOff, wrongRunWarnings } from './wrong-runs.js'

/** The method of this folder. Any change that moves a number of a table raises the version. */
export const FIT_METHOD: MethodId = { name: 'scatter-grid-and-smooth-curve', version: '14' }

/** The same with the warming of the drive taken out. */
export const WARM_FIT_METHOD: MethodId = { ...FIT_METHOD, name: `${FIT_METHOD.name}-warm` }

/**
 * Fits marks, dial curve and bands of every measured direction of an axis from its runs.
 *
 * Run-to-run and dial-reset scatter are learned from all repeats of both directions together, because drive and
 * dial are the same. The same runs in any order give the same result, to the last bit.
 *
 * @throws {DataError} `too-few-runs` without any run
 * @throws {DataError} `unusable-run` where a run's dial, feed or uncertainty is not a number it can be
 */
export function fitAxis(runs: readonly RunEvidence[], options: FitOptions): FittedAxis {
  requireRuns(runs)
  const scatter = axisScatter(runs, options)
  const { sides, trend: likely, posterior, drift, takenOut, travels, sessions, odd } = scatter
  const fitted = sides.map((side) => {
    const marks = side.groups.map((group) => fitMark(group, posterior, scatter.variancesOf(group)))
    return { ...side, marks, moving: marks.filter((_, i) => !side.groups[i]!.creeps) }
  })
  const trend = foundTrend(
    fitted.map((side) => side.marks),
    likely,
  )
  const far = farOff(runs, scatter, options)
  const before = earlierScatter(options.earlier ?? [])
  const drawn: DrawnCurves = new Map()
  const sharing = options.stepped ? null : sharingSides(fitted, trend, posterior)
  const plus = fitted.find((side) => side.direction === 1)
  const minus = fitted.find((side) => side.direction === -1)
  const warnings = [...sessionWarnings(sessions), ...warmUpWarnings(drift, options.warmUp === true)]
  return {
    directions: fitted.map((side) => {
      const direction = fitDirection(
        side,
        posterior,
        {
          trend,
          stepped: options.stepped,
          lettered: options.lettered,
          fastestMmPerMin: fastestMark(fitted),
          levelVariance: scatter.levelVarianceOf(side.direction),
          aheadVariance: travels?.aheadVariance ?? 0,
          drawn,
          sharing,
        },
        before,
      )
      return {
        ...direction,
        warnings: [...wrongRunWarnings(side, odd, far, options), ...direction.warnings, ...warnings],
      }
    }),
    difference: plus && minus ? directionDifference(plus.moving, minus.moving, posterior) : null,
    noise: summarizeNoise(posterior),
    ...(drift ? { warmUp: summarizeWarmUp(drift, takenOut !== null) } : {}),
    ...(sessions ? { sessions: summarizeSessions(sessions) } : {}),
    ...(before ? { earlierScatter: before } : {}),
  }
}

/** What a curve is drawn with beside its marks. */
interface CurveTerms extends DialWriting {
  readonly trend: DialKind['trend']
  readonly stepped: boolean
  readonly levelVariance: number
  readonly aheadVariance: number
  /** Of the marks of both directions. */
  readonly fastestMmPerMin: number
  readonly drawn: DrawnCurves
  readonly sharing: SharingSides | null
}

/** @param before what earlier tables told of the scatter; null for none */
function fitDirection(
  side: FittedSide,
  posterior: NoisePosterior,
  terms: CurveTerms,
  before: EarlierScatter | null,
): FittedDirection {
  const { marks } = side
  const { trend, stepped, sharing } = terms
  const kind =
    stepped || marks.length < 2
      ? 'none'
      : sharing?.borrower === side
        ? 'borrowed'
        : showsShape(marks, posterior)
          ? 'full'
          : 'sparse'
  const curve = kind === 'none' ? [] : fitCurve(side, posterior, terms, kind === 'sparse')
  return {
    direction: side.direction,
    marks: marks.map(({ meanVariances: _, runWeights: __, ...mark }) => mark),
    curve,
    runIds: side.runs.map((run) => run.runId),
    warnings: [
      ...orderWarnings(
        marks.map((mark, i) => ({ ...mark, runIds: side.groups[i]!.runIds })),
        trend,
        terms,
      ),
      ...fitWarnings(
        side.groups,
        marks,
        posterior,
        kind,
        widestGap({ ...side, curve }, terms.fastestMmPerMin, terms),
        before,
        terms,
      ),
      ...(sharing !== null && kind === 'borrowed' ? [borrowedWarning(sharing)] : []),
    ],
  }
}

/**
 * The curve of one direction. At a mark that breaks the order it answers what that mark's own runs read: a curve that
 * passes by them would contradict what was measured, and which of the two is right the runs cannot tell. So does a mark
 * whose own interval the band of the curve misses: the drawn forms are few where marks lie on a level beside a jump.
 */
function fitCurve(
  side: FittedSide,
  posterior: NoisePosterior,
  { trend, levelVariance, aheadVariance, drawn, sharing }: CurveTerms,
  sparse: boolean,
): CurvePoint[] {
  const { marks } = side
  const grid = curveGrid(marks.map((mark) => mark.dial))
  const draws = drawSideCurves(side, posterior.points, { trend, sparse, sharing }, drawn)
  const bands = curveBands(draws, grid, levelVariance, aheadVariance)
  const out = marksOutOfOrder(marks, trend).map((i) => marks[i]!)
  return bands.map((point) => {
    const own = marks.find((mark) => mark.dial === point.dial)
    if (own === undefined || (!out.includes(own) && meets(own.interval95, point.interval95))) return point
    const { meanVariances: _, runWeights: __, runs: ___, ...answer } = own
    return answer
  })
}

function meets(one: CurvePoint['interval95'], other: CurvePoint['interval95']): boolean {
  return one === null || other === null || (one[0] <= other[1] && other[0] <= one[1])
}

function requireRuns(runs: readonly RunEvidence[]): void {
  if (runs.length === 0) {
    throw new DataError(
      'too-few-runs',
      'There are no runs to fit a table from.',
      'Record runs first: 4 marks or more, each with 2 runs or more, setting the dial again for each run.',
    )
  }
  for (const run of runs) {
    const { dial, feedMmPerMin, standardUncertaintyMmPerMin: u } = run
    if (
      Number.isFinite(dial) &&
      Number.isFinite(feedMmPerMin) &&
      feedMmPerMin >= 0 &&
      Number.isFinite(u) &&
      u >= 0
    ) {
      continue
    }
    throw new DataError(
      'unusable-run',
      `Run ${run.runId} cannot be fitted: dial ${dial}, feed ${feedMmPerMin} mm/min, uncertainty ${u} mm/min.`,
      'Leave that run out and make the table without it.',
    )
  }
}
