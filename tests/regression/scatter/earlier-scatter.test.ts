import { describe, expect, it } from 'vitest'
import { fitAxis, fitMark, type RunEvidence } from '../../../src/regression/index.js'
import { axisScatter, scatterBefore } from '../../../src/regression/scatter/axis-scatter.js'
import { EARLIER_POWER } from '../../../src/regression/scatter/noise-model.js'
import { seededRandom } from '../../../src/simulation/index.js'
import { howMany, leastShare } from '../../harness/proof-mode.js'

const OPTIONS = { stepped: false }
const DIALS = [2, 3, 4, 5, 6, 7, 8, 9]
const feedAt = (dial: number) => 10 + 40 * dial

/** A table's runs on a machine that scatters like this from run to run, its feeds times a factor. */
function runsOf(seed: number, repeats: number, scatter: number, factor = 1): RunEvidence[] {
  const random = seededRandom(seed)
  return DIALS.flatMap((dial) =>
    Array.from({ length: repeats }, (_, k): RunEvidence => {
      const set = dial + random.normal(0, 0.02)
      const feedMmPerMin = factor * feedAt(set) * Math.exp(random.normal(0, scatter))
      return {
        runId: `${seed}-${dial}-${k}`,
        ...{ dial, direction: 1, feedMmPerMin, source: 'readout' },
        standardUncertaintyMmPerMin: 5e-5 * feedMmPerMin,
      }
    }),
  )
}

describe('scatter that earlier tables tell', () => {
  const earlier = scatterBefore([runsOf(1, 3, 0.005)], OPTIONS)
  const single = runsOf(2, 1, 0.005, 1.06)

  it('gives a table of one run a mark measured intervals, far narrower than assumed ones, and says so', () => {
    const known = fitAxis(single, { ...OPTIONS, earlier })
    const half = ({ directions }: ReturnType<typeof fitAxis>) => {
      const { feedMmPerMin, nextSetting95 } = directions[0]!.marks[4]!
      return (nextSetting95![1] - nextSetting95![0]) / (2 * feedMmPerMin)
    }
    expect(half(known)).toBeLessThan(0.5 * half(fitAxis(single, OPTIONS)))
    // 24 runs at 8 marks repeat 16 times, which count half.
    expect(known.earlierScatter).toEqual({ runs: 24, degreesOfFreedom: EARLIER_POWER * 16 })
    const codes = known.directions[0]!.warnings.map(({ code }) => code)
    expect(codes).toContain('scatter-earlier')
    expect(codes).not.toContain('scatter-assumed')
    expect(codes).not.toContain('single-runs')
    // The earlier feeds make no mark: the machine has changed.
    expect(known.directions[0]!.marks[4]!.feedMmPerMin).toBeGreaterThan(1.03 * feedAt(6))
  })

  it('takes nothing from nowhere: without earlier runs a table is what it was', () => {
    const runs = runsOf(3, 2, 0.005)
    expect(fitAxis(runs, { ...OPTIONS, earlier: scatterBefore([[]], OPTIONS) })).toEqual(
      fitAxis(runs, OPTIONS),
    )
  })

  it('does not take a move between two earlier states for scatter', () => {
    const moved = scatterBefore([runsOf(4, 2, 0.005), runsOf(5, 2, 0.005, 1.2)], OPTIONS)
    const { noise } = fitAxis(runsOf(6, 2, 0.005, 0.9), { ...OPTIONS, earlier: moved })
    expect(noise!.runRelative).toBeLessThan(0.009)
  })

  it('gives way to the runs of the table where those scatter otherwise', () => {
    const wild = runsOf(7, 3, 0.03)
    const scatter = (options: typeof OPTIONS) => fitAxis(wild, options).noise!.runRelative
    expect(scatter({ ...OPTIONS, earlier } as typeof OPTIONS)).toBeGreaterThan(0.75 * scatter(OPTIONS))
  })
})

// Seeds 2000 on; machines from 0.3 to 2 % that scatter as before, or by up to a third more or less.
it('holds what it says with one run a mark beside one earlier table', () => {
  const machines = howMany(30, 600)
  let [means, next, marks] = [0, 0, 0]
  for (let k = 0; k < machines; k++) {
    const random = seededRandom(2000 + k)
    const scatter = 0.003 * (20 / 3) ** random.uniform()
    const since = scatter * (2 / 3) * 2.25 ** random.uniform()
    const options = { ...OPTIONS, earlier: scatterBefore([runsOf(3000 + k, 3, scatter)], OPTIONS) }
    const { sides, posterior } = axisScatter(runsOf(9000 + k, 1, since), options)
    for (const group of sides[0]!.groups) {
      const { dial, interval95, nextSetting95 } = fitMark(group, posterior)
      const again = feedAt(dial + random.normal(0, 0.02)) * Math.exp(random.normal(0, since))
      marks += 1
      if (interval95![0] <= feedAt(dial) && feedAt(dial) <= interval95![1]) means += 1
      if (nextSetting95![0] <= again && again <= nextSetting95![1]) next += 1
    }
  }
  const least = leastShare(0.93, machines)
  expect(means / marks).toBeGreaterThan(least)
  expect(next / marks).toBeGreaterThan(least)
})
