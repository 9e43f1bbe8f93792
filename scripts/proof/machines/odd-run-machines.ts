import { axisOddRuns, fitMark, type MarkFit, type RunEvidence } from '../../../src/regression/index.js'
import { axisScatter } from '../../../src/regression/scatter/axis-scatter.js'
import type { OddMark } from '../../../src/regression/scatter/odd-runs.js'
import { type SeededRandom, seededRandom } from '../../../src/simulation/index.js'

/** The machine under the runs: its dial curve and how its runs scatter. */
interface OddRunMill {
  readonly curve: (dial: number) => number
  readonly minusFactor: number
  /** Relative standard deviation from run to run, and that of setting the dial, dial units. */
  readonly runScatter: number
  readonly dialResetScatter: number
  readonly stepped: boolean
}

/** Shapes of a sound run's scatter, all with standard deviation 1. */
export const SCATTER_SHAPES: Readonly<Record<string, (random: SeededRandom) => number>> = {
  normal: (random) => random.normal(0, 1),
  uniform: (random) => (random.uniform() - 0.5) * Math.sqrt(12),
  Laplace: (random) => {
    const side = random.uniform() - 0.5
    return (-Math.sign(side) * Math.log(1 - 2 * Math.abs(side))) / Math.SQRT2
  },
  // Heavy tails: one value in a hundred lies beyond 3.3 standard deviations.
  'Student t, 4 degrees of freedom': (random) => {
    const square = [1, 2, 3, 4].reduce((sum) => sum + random.normal(0, 1) ** 2, 0)
    return random.normal(0, 1) / Math.sqrt(square / 4) / Math.SQRT2
  },
}

/** How a machine is measured. */
export interface OddRunPlan {
  readonly dials: readonly number[]
  readonly runs: number
  readonly directions: readonly (1 | -1)[]
  readonly source: 'readout' | 'stopwatch'
  readonly shape: string
}

/** Relative standard uncertainty of a full readout run, and of two presses of 0.07 s around 30 s. */
const READING = { readout: 5e-5, stopwatch: (Math.SQRT2 * 0.07) / 30 }

/** Feeds at which a table only creeps are no marks to judge by, mm/min. */
const CREEPING_MM_PER_MIN = 2.5

interface MeasuredRun extends RunEvidence {
  /** What this run would have given at another dial. */
  readonly at: (dial: number) => number
}

function measure(mill: OddRunMill, plan: OddRunPlan, random: SeededRandom): MeasuredRun[] {
  const deviate = SCATTER_SHAPES[plan.shape]!
  const relative = READING[plan.source]
  return Array.from({ length: plan.runs }, (_, pass) => pass).flatMap((pass) =>
    plan.dials.flatMap((dial) =>
      plan.directions.map((direction) => {
        const dialOff = mill.dialResetScatter * deviate(random)
        const factor =
          (direction === 1 ? 1 : mill.minusFactor) *
          Math.exp(mill.runScatter * deviate(random)) *
          (1 + relative * random.normal(0, 1))
        const at = (place: number) => mill.curve(place + dialOff) * factor
        return {
          ...{ runId: `${pass}/${dial}/${direction}`, dial, direction, source: plan.source, at },
          feedMmPerMin: at(dial),
          standardUncertaintyMmPerMin: relative * at(dial),
        }
      }),
    ),
  )
}

/** What is done to one run: off by a share either way, made at a neighbouring mark, or ten times too large. */
type Spoiling = { readonly off: readonly [from: number, to: number] } | 'neighbouring mark' | 'ten times'

function spoil(run: MeasuredRun, plan: OddRunPlan, how: Spoiling, random: SeededRandom): RunEvidence {
  const feedMmPerMin = run.feedMmPerMin * factorOf(run, plan, how, random)
  return {
    ...run,
    feedMmPerMin,
    standardUncertaintyMmPerMin: READING[plan.source] * feedMmPerMin,
  }
}

function factorOf(run: MeasuredRun, { dials }: OddRunPlan, how: Spoiling, random: SeededRandom): number {
  if (how === 'ten times') return 10
  if (how === 'neighbouring mark') {
    const i = dials.indexOf(run.dial)
    const neighbours = [dials[i - 1], dials[i + 1]].filter((dial) => dial !== undefined)
    return run.at(neighbours[Math.floor(random.uniform() * neighbours.length)]!) / run.feedMmPerMin
  }
  const [from, to] = how.off
  const share = from + (to - from) * random.uniform()
  return random.uniform() < 0.5 ? 1 + share : 1 - share
}

interface JudgedMark extends MarkFit {
  readonly direction: 1 | -1
}

function judge(
  runs: readonly RunEvidence[],
  mill: OddRunMill,
): { marks: JudgedMark[]; odd: readonly OddMark[] } {
  const { sides, posterior, odd } = axisScatter(runs, { stepped: mill.stepped })
  const marks = sides.flatMap(({ direction, groups }) =>
    groups.map((group) => ({ ...fitMark(group, posterior), direction })),
  )
  return { marks, odd }
}

function holds(mark: JudgedMark, mill: OddRunMill): boolean | null {
  const feed = mill.curve(mark.dial) * (mark.direction === 1 ? 1 : mill.minusFactor)
  if (feed <= CREEPING_MM_PER_MIN || mark.interval95 === null) return null
  return mark.interval95[0] <= feed && feed <= mark.interval95[1]
}

function halfWidth({ interval95 }: JudgedMark): number {
  return interval95 === null ? Number.NaN : Math.log(interval95[1] / interval95[0]) / 2
}

/** A table without an odd run. */
export function soundTable(mill: OddRunMill, plan: OddRunPlan, seed: number) {
  const { marks, odd } = judge(measure(mill, plan, seededRandom(seed)), mill)
  return {
    named: odd.some((mark) => mark.named),
    aside: odd.length > 0,
    held: marks.map((mark) => holds(mark, mill)).filter((one) => one !== null),
  }
}

/** A table with one odd run, beside the same without that run. */
export function tableWithOddRun(mill: OddRunMill, plan: OddRunPlan, how: Spoiling, seed: number) {
  const random = seededRandom(seed)
  const sound = measure(mill, plan, random)
  const odd = sound[Math.floor(random.uniform() * sound.length)]!
  const spoiled = sound.map((run) => (run === odd ? spoil(odd, plan, how, random) : run))
  const found = judge(spoiled, mill)
  const without = judge(
    sound.filter((run) => run !== odd),
    mill,
  )
  const named = found.odd.filter((mark) => mark.named)
  const isOwn = (mark: { dial: number; direction: number }) =>
    mark.dial === odd.dial && mark.direction === odd.direction
  const own = named.find(isOwn)
  const ratios = found.marks.flatMap((mark) => {
    const before = without.marks.find((one) => one.dial === mark.dial && one.direction === mark.direction)
    return isOwn(mark) || before === undefined ? [] : [halfWidth(mark) / halfWidth(before)]
  })
  return {
    named: own?.suspects.flat().includes(odd.runId) === true,
    told: own?.suspects.length === 1 && own.suspects[0]!.includes(odd.runId),
    othersNamed:
      named.some((mark) => !isOwn(mark)) || (own !== undefined && !own.suspects.flat().includes(odd.runId)),
    ownHeld: found.marks
      .filter(isOwn)
      .map((mark) => holds(mark, mill))
      .filter((one) => one !== null),
    held: found.marks.map((mark) => holds(mark, mill)).filter((one) => one !== null),
    widthRatio: ratios.reduce((sum, ratio) => sum + ratio, 0) / ratios.length,
  }
}

/** What an entry that is wrong by a factor came to, as it is told when it is made. */
interface FarOffEntry {
  readonly told: boolean
  /** No other run is suspected with it. */
  readonly alone: boolean
  /** A sound run is told beside it or in its place. */
  readonly othersTold: boolean
}

/**
 * A session by stopwatch up to an entry that is wrong by a factor, either way; null where the table only creeps there.
 *
 * @param made runs up to and with the wrong one, in the order of the plan
 */
export function farOffEntry(
  mill: OddRunMill,
  plan: OddRunPlan,
  { made, factor }: { readonly made: number; readonly factor: number },
  seed: number,
): FarOffEntry | null {
  const random = seededRandom(seed)
  const runs: RunEvidence[] = measure(mill, plan, random).slice(0, made)
  const last = runs.at(-1)!
  if (last.feedMmPerMin <= CREEPING_MM_PER_MIN) return null
  const feedMmPerMin = last.feedMmPerMin * (random.uniform() < 0.5 ? factor : 1 / factor)
  runs[made - 1] = { ...last, feedMmPerMin, standardUncertaintyMmPerMin: READING[plan.source] * feedMmPerMin }
  const told = axisOddRuns(runs, { stepped: mill.stepped }).map(({ runIds = [] }) => runIds)
  const own = told.filter((ids) => ids.includes(last.runId))
  return {
    told: own.length > 0,
    alone: own.some((ids) => ids.length === 1),
    othersTold: told.length > own.length,
  }
}

/** Whether a session of sound runs has a run told at any time, looked at after each. */
export function soundSessionTold(mill: OddRunMill, plan: OddRunPlan, seed: number): boolean {
  const runs = measure(mill, plan, seededRandom(seed))
  return runs.some((_, k) => axisOddRuns(runs.slice(0, k + 1), { stepped: mill.stepped }).length > 0)
}
