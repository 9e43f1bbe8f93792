import { axisScatter, fitMark, type RunEvidence } from '../../../src/regression/index.js'
import { seededRandom } from '../../../src/simulation/index.js'
import { addRatio, type Findings } from '../tally.js'
import { DAY_SIZES, factorAlone, feedOf, READING } from './day-machines.js'
import { drawnMill } from './drawn-mill.js'

/** How the runs of a table are spread over its sessions. */
export interface SessionPlan {
  readonly marks: number
  readonly size: keyof typeof DAY_SIZES
  readonly sessions: number
  /** Runs of each session at each mark that it measures. */
  readonly runs: number
  /** `all`: every session measures every mark. `overlap`: every other mark, and the middle one besides. */
  readonly spread: 'all' | 'overlap'
}

/**
 * A table made from several sessions, each with an effect of its own on all feeds: whether its marks hold their feeds for
 * the mean of these sessions, with the sessions told to the fit and with them untold.
 */
export function sessionTable(findings: Findings, family: string, plan: SessionPlan, seed: number): void {
  const random = seededRandom(seed)
  const mill = drawnMill(family, seed)
  const effects = Array.from({ length: plan.sessions }, () => DAY_SIZES[plan.size]! * random.normal(0, 1))
  const runs = effects.flatMap((effect, session) =>
    Array.from({ length: plan.marks }, (_, i) => i)
      .filter(
        (i) => plan.spread === 'all' || i % plan.sessions === session || i === Math.floor(plan.marks / 2),
      )
      .flatMap((i) =>
        Array.from({ length: plan.runs }, (_, k): RunEvidence => {
          const dial = 1 + (9 * i) / (plan.marks - 1)
          const feedMmPerMin =
            feedOf(mill, random, dial, factorAlone(effect)) * (1 + READING * random.normal(0, 1))
          return {
            runId: `${session}/${i}/${k}`,
            ...{ dial, direction: 1, feedMmPerMin, source: 'readout', session: `${session}` },
            standardUncertaintyMmPerMin: READING * feedMmPerMin,
          }
        }),
      ),
  )
  const mean = runs.reduce((sum, { session }) => sum + effects[Number(session)]! / runs.length, 0)
  const levels = { 'day effect': plan.size, spread: plan.spread }
  for (const told of [true, false]) {
    const scatter = axisScatter(told ? runs : runs.map(({ session: _, ...run }) => run), { stepped: false })
    const marks = scatter.sides[0]!.groups.filter((group) => !group.creeps).map((group) =>
      fitMark(group, scatter.posterior, scatter.variancesOf(group)),
    )
    const count = (inside: (mark: (typeof marks)[number]) => boolean) => marks.filter(inside).length
    const name = told ? 'sessions told' : 'untold'
    const held = count(({ dial, interval95 }) => {
      const [low, high] = interval95!
      const feed = mill.curve(dial) * Math.exp(mean)
      return low <= feed && feed <= high
    })
    const next = count(({ dial, nextSetting95 }) => {
      const [low, high] = nextSetting95!
      const feed = feedOf(mill, random, dial, factorAlone(mean))
      return low <= feed && feed <= high
    })
    const half = marks.reduce((sum, { nextSetting95: n }) => sum + Math.log(n![1] / n![0]) / 2, 0)
    const halfMean = marks.reduce((sum, { interval95: n }) => sum + Math.log(n![1] / n![0]) / 2, 0)
    addRatio(findings, `${name}, mean`, levels, held, marks.length)
    addRatio(findings, `${name}, next setting`, levels, next, marks.length)
    addRatio(findings, `${name}, mean, half width`, levels, halfMean, marks.length)
    addRatio(findings, `${name}, next setting, half width`, levels, half, marks.length)
    addRatio(
      findings,
      `${name}, tables with an odd run named`,
      levels,
      scatter.odd.some((mark) => mark.named) ? 1 : 0,
      1,
    )
  }
}
