import { fitAxis } from '../../src/regression/index.js'
import { seededRandom } from '../../src/simulation/index.js'
import { measure, type Plan, readingScatter, trueScatter } from './campaign.js'
import { holds } from './fitted-tables.js'
import { drawnMill } from './machines/drawn-mill.js'

/** How the band of one machine's dial curve lies to what is true: shares and ratios over the places asked for. */
interface JudgedBand {
  /** Share of the places between marks whose band holds the true feed. */
  readonly between: number
  /** Share of the marks whose interval holds the true feed. */
  readonly marks: number
  /** Mean of half width over 1.96 σ/√R, σ the true scatter there: between marks, and at them. */
  readonly betweenWidth: number
  readonly markWidth: number
}

/** One machine of a family, measured by a plan in one direction, with readout runs. */
export function judgedBand(family: string, plan: Plan, seed: number): JudgedBand {
  const campaign = measure(drawnMill(family, seed + 1), plan, 'readout', seededRandom(seed))
  const runs = campaign.runs.filter((run) => run.direction === 1)
  const [side] = fitAxis(runs, { stepped: false }).directions
  const judge = (points: typeof side extends undefined ? never : NonNullable<typeof side>['curve']) => {
    let [held, width, wide] = [0, 0, 0]
    for (const { dial, interval95 } of points) {
      held += Number(holds(interval95, campaign.trueFeed(dial, 1)))
      const sigma = trueScatter(campaign.mill, dial, readingScatter('readout'))
      if (sigma === null || interval95 === null || interval95[0] <= 0) continue
      width += Math.log(interval95[1] / interval95[0]) / 2 / ((1.96 * sigma) / Math.sqrt(plan.runs))
      wide += 1
    }
    return { held: held / points.length, width: width / wide }
  }
  const curve = judge(side!.curve.filter(({ dial }) => !campaign.dials.includes(dial)))
  const marks = judge(side!.marks)
  return { between: curve.held, marks: marks.held, betweenWidth: curve.width, markWidth: marks.width }
}
