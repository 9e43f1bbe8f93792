import { describe, expect, it } from 'vitest'
import { motorPoints } from '../../scripts/proof/measured-motors.js'
import { motorLikeness, motorScatters } from '../../scripts/proof/motor-sessions.js'
import { methodPage } from '../../scripts/proof/report/method-page.js'
import { failures, weakSpots } from '../../scripts/proof/report/report-failures.js'
import { FIGURES, rowOf } from '../../scripts/proof/report/targets.js'
import { addRatio, noFindings } from '../../scripts/proof/tally.js'

const points = motorPoints(new URL('../../fixtures/open-data/dc-motor-speed.csv', import.meta.url))

/** So many clusters of a hundred places each, of which so many are held in every one. */
function findings(figure: string, levels: Record<string, string>, held: number) {
  const found = noFindings()
  for (let k = 0; k < 40; k++) addRatio(found, figure, levels, held, 100)
  return found
}

describe('the report of the proof', () => {
  it('says of every missed target what it is for whoever uses the number', () => {
    const wide = rowOf(findings('inverse-coverage', {}, 100), FIGURES.inverse)!
    const narrow = rowOf(findings('mark-coverage', {}, 90), FIGURES.marks)!
    const met = rowOf(findings('mark-coverage', {}, 95), FIGURES.marks)!
    const [opening, , ...told] = failures([wide, met, narrow])
    expect(opening).toMatch(/^2 of 3 targets are missed/)
    expect(told).toHaveLength(2)
    expect(told[0]).toMatch(/^- inverse.*100\.0 % ± .* wanted 94–98 %\. .* wider than they need be/)
    expect(told[1]).toMatch(/^- marks.*90\.0 % ± .* wanted 94–97 %\. .* hold less often than they say/)
    expect(failures([met])[0]).toMatch(/^Nothing: all 1 targets are met/)
  })

  it('finds the parts that hold less than wanted though the whole is not asked, and leaves out the others', () => {
    const weak = findings('between-coverage', { family: 'worn', plan: '4 marks × 2 runs' }, 80)
    expect(weakSpots(weak).join('\n')).toMatch(/family: worn \| between marks.*80\.0 %/)
    expect(weakSpots(findings('between-coverage', { family: 'worn' }, 93))).toEqual([])
  })

  it('works out what the priors rest on from the measured motors, as their comments say it', () => {
    expect(motorScatters(points)).toBe('left wheel 0.80 % and 1.11 %, right wheel 1.60 % and 2.33 %')
    expect(motorLikeness(points)).toBe('left wheel 0.31 and 0.69, right wheel 0.85 and 0.77')
    const page = methodPage(points).join('\n')
    expect(page).toContain('half-Cauchy of scale 3 %')
    expect(page).toContain(motorScatters(points))
  })
})
