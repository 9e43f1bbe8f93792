import { describe, expect, it } from 'vitest'
import { sessionTable } from '../../../scripts/proof/machines/session-machines.js'
import { noFindings } from '../../../scripts/proof/tally.js'
import { fitAxis, type RunEvidence } from '../../../src/regression/index.js'
import { axisScatter } from '../../../src/regression/scatter/axis-scatter.js'
import { summarizeNoise } from '../../../src/regression/scatter/noise-model.js'
import { seededRandom } from '../../../src/simulation/index.js'
import { howMany, leastShare } from '../../harness/proof-mode.js'

const OPTIONS = { stepped: false }
const DIALS = [2, 3, 4, 5, 6, 7, 8, 9]

/** One run at each of the dials, twice or more, in a session that moves all feeds by one factor. */
function session(
  name: string,
  seed: number,
  { dials = DIALS, runs = 2, factor = 1 }: { dials?: number[]; runs?: number; factor?: number } = {},
): RunEvidence[] {
  const random = seededRandom(seed)
  return dials.flatMap((dial) =>
    Array.from({ length: runs }, (_, k): RunEvidence => {
      const feedMmPerMin = 40 * dial * factor * Math.exp(random.normal(0, 0.004))
      return {
        runId: `${name}-${dial}-${k}`,
        ...{ dial, direction: 1, feedMmPerMin, source: 'readout', session: name },
        standardUncertaintyMmPerMin: 1e-4 * feedMmPerMin,
      }
    }),
  )
}

const untold = (runs: readonly RunEvidence[]) => runs.map(({ session: _, ...run }) => run)

describe('runs of several sessions', () => {
  it('change nothing where all were made in one, to the last bit', () => {
    const runs = session('monday', 1)
    expect(axisScatter(runs, OPTIONS).sessions).toBeNull()
    expect(fitAxis(runs, { stepped: true })).toEqual(fitAxis(untold(runs), { stepped: true }))
  })

  const two = [...session('monday', 5), ...session('tuesday', 6, { factor: 1.05 })]

  it('do not count what a day does to all feeds as scatter, and say what they took out', () => {
    const fit = fitAxis(two, OPTIONS)
    expect(fit.noise!.runRelative).toBeLessThan(0.007)
    expect(summarizeNoise(axisScatter(untold(two), OPTIONS).posterior).runRelative).toBeGreaterThan(0.02)
    // One repeat of the 24 tells how the sessions differ.
    expect(fit.noise!.degreesOfFreedom).toBe(23)
    const [monday, tuesday] = fit.sessions!
    expect(monday).toMatchObject({ session: 'monday', runs: 16 })
    expect(tuesday!.shiftPercent - monday!.shiftPercent).toBeGreaterThan(4.4)
    expect(tuesday!.shiftPercent - monday!.shiftPercent).toBeLessThan(5.6)
    const [low, high] = tuesday!.interval95Percent
    expect(low).toBeLessThan(2.5)
    expect(high).toBeGreaterThan(2.4)
    const told = fit.directions[0]!.warnings.find(({ code }) => code === 'several-sessions')!
    expect(told.message).toContain('The runs come from 2 sessions.')
    expect(told.message).toMatch(/monday -2\.\d\d % .*tuesday \+2\.\d\d %/)
  })

  it('stand for the mean of the sessions, wherever each of them measured', () => {
    // The odd marks in one session, the even ones in the other, 7 % apart, and two marks in both.
    const apart = [
      ...session('monday', 7, { dials: [3, 5, 6, 7, 9] }),
      ...session('tuesday', 8, { dials: [2, 4, 5, 6, 8], factor: 1.07 }),
    ]
    const marks = fitAxis(apart, { stepped: true }).directions[0]!.marks
    for (const { dial, feedMmPerMin, interval95 } of marks) {
      expect(Math.abs(Math.log(feedMmPerMin / (40 * dial)) - Math.log(1.07) / 2)).toBeLessThan(0.015)
      expect(interval95![1] / interval95![0]).toBeLessThan(1.05)
    }
  })

  it('say where two sessions share no mark, and allow for what two days may do', () => {
    const apart = [
      ...session('monday', 9, { dials: [3, 5, 7, 9] }),
      ...session('tuesday', 10, { dials: [2, 4, 6, 8] }),
    ]
    const { marks, warnings } = fitAxis(apart, { stepped: true }).directions[0]!
    expect(warnings.map(({ code }) => code)).toContain('sessions-apart')
    const together = fitAxis(untold(apart), { stepped: true }).directions[0]!.marks
    for (const [i, { interval95 }] of marks.entries()) {
      const [wide, narrow] = [interval95!, together[i]!.interval95!].map(([low, high]) => high / low - 1)
      expect(wide!).toBeGreaterThan(1.5 * narrow!)
    }
  })

  it('do not make the only run of another session odd', () => {
    const few = [...session('monday', 11, { runs: 2 }), ...session('tuesday', 12, { runs: 1, factor: 1.12 })]
    const odd = (runs: readonly RunEvidence[]) => axisScatter(runs, OPTIONS).odd.filter((mark) => mark.named)
    expect(odd(few)).toEqual([])
    // While a wrong dial in one of them is named as ever.
    const wrong = few.map((run) =>
      run.runId === 'tuesday-5-0' ? { ...run, feedMmPerMin: 1.2 * run.feedMmPerMin } : run,
    )
    expect(odd(wrong).map(({ dial, suspects }) => [dial, suspects])).toEqual([[5, [['tuesday-5-0']]]])
  })
})

// Seeds 100 on, families of scripts/proof; the long form is `npm run proof:days`.
it('hold what they say at day effects from none to those of a battery', () => {
  const machines = howMany(8, 400)
  const findings = noFindings()
  for (const size of ['none', '1 %', '4.5 %']) {
    for (let k = 0; k < machines; k++) {
      const plan = { sessions: 2, runs: 2, spread: k % 2 === 0 ? 'all' : 'overlap', marks: 5 + (k % 5), size }
      sessionTable(findings, k % 3 === 0 ? 'shelf' : 'saturating', plan as never, 100 + k)
    }
  }
  const share = (figure: string) => {
    const { sumY, sumX } = findings.ratios[`${figure}|all|all`]!
    return sumY / sumX
  }
  const least = leastShare(0.93, 3 * machines)
  expect(share('sessions told, mean')).toBeGreaterThan(least)
  expect(share('sessions told, next setting')).toBeGreaterThan(least)
  // A battery's days told apart: the band of the next setting is far narrower than with the sessions mixed.
  const half = (name: string) => {
    const { sumY, sumX } = findings.ratios[`${name}, next setting, half width|day effect|4.5 %`]!
    return sumY / sumX
  }
  expect(half('sessions told')).toBeLessThan(0.75 * half('untold'))
})
