import { describe, expect, it } from 'vitest'
import { BESIDE_UNEVEN, type DayPlan, dayMachine } from '../../scripts/proof/machines/day-machines.js'
import { CONTINUOUS_FAMILIES } from '../../scripts/proof/machines/dial-families.js'
import { keyOf, meanOf, noFindings } from '../../scripts/proof/tally.js'
import { howMany } from '../harness/proof-mode.js'

/** Machines of every family, at each size of the day effect. */
const MACHINES = howMany(3, 40)

function simulated(runs: number, days: readonly (Partial<DayPlan> & Pick<DayPlan, 'size'>)[]) {
  const findings = noFindings()
  let seed = 77 * runs
  for (const day of days)
    for (const family of CONTINUOUS_FAMILIES)
      for (let k = 0; k < MACHINES; k++)
        dayMachine(findings, family, { marks: 4 + (k % 5), runs, earlierChecks: 0, ...day }, seed++)
  return (figure: string) => meanOf(findings.ratios[keyOf(figure)]!)
}

/** What the promises come to in truth, at the least, over day effects of 0.5 to 1 %: see `npm run proof:days`. */
const PROMISED = 0.93

describe('what a table promises of days, over day effects of 0.5 to 1 %', () => {
  const found = simulated(3, [{ size: '0.5 %' }, { size: '0.7 %' }, { size: '1 %' }])

  it.each(['any day, mean', 'any day, next setting', 'today after one check run, next setting'])(
    '%s',
    (figure) => {
      const { value, standardError } = found(figure)
      expect(value + 2 * standardError).toBeGreaterThan(PROMISED)
    },
  )

  it('costs most of the width at slow marks, for a day may lose a feed alike at all settings', () => {
    // A tenth more than the common factor alone costs (measured: 1.87 and 1.50).
    expect(found('any day, half width over own day').value).toBeLessThan(1.1 * 1.87)
    expect(found('today after one check run, half width over own day').value).toBeLessThan(1.1 * 1.5)
    expect(found('any day, half width over own day, slow marks').value).toBeLessThan(2.5)
    expect(found('today after one check run, half width over own day, slow marks').value).toBeLessThan(2)
  })
})

describe('days that also lose or gain a feed alike at all settings are held', () => {
  // With days that know the common factor alone 92, 92, 89 and 89 of 100 places were held.
  const found = simulated(3, [{ size: '0.7 %', lost: '0.5 %' }])

  it.each([
    'any day, mean',
    'any day, next setting',
    'today after one check run, next setting',
    'today after two check runs, next setting',
  ])('%s', (figure) => {
    const { value, standardError } = found(figure)
    expect(value + 2 * standardError).toBeGreaterThan(PROMISED)
  })
})

describe('days that move each setting by itself are held, once days with several check runs have shown it', () => {
  // Before any day learned of it 61 and 58 of 100 places were held.
  const found = simulated(3, [{ ...BESIDE_UNEVEN, uneven: '5 %', earlierChecks: 4 }])

  it.each(['any day, next setting', 'today after one check run, next setting'])('%s', (figure) => {
    const { value, standardError } = found(figure)
    expect(value + 2 * standardError).toBeGreaterThan(PROMISED)
  })
})

it('holds what it says by the scatter that is assumed, with one run a mark', () => {
  const found = simulated(1, [{ size: 'none' }, { size: '1 %' }])
  for (const figure of ['own day, mean', 'own day, next setting', 'any day, next setting']) {
    const { value, standardError } = found(figure)
    expect(value + 2 * standardError).toBeGreaterThan(PROMISED)
  }
  // Usable: drives of some percent scatter are taken for possible, no wilder ones.
  expect(found('own day, half width').value).toBeLessThan(0.13)
})
