import { expect, test } from 'vitest'
import { driftPicture } from '../../src/pictures/index.js'
import { dayChart, driftChart } from '../../src/planning/control-charts/index.js'
import { readXml } from './read-xml.js'

const CHECKS = [0.002, 0.004, 0.012, 0.015].map((value, i) => ({
  at: `2026-0${i + 1}-01T10:00:00.000Z`,
  verdict: 'holds' as const,
  reason: 'gibs <adjusted> & greased',
  tables: i < 3 ? '+ table 1' : '+ table 2',
  value,
  ownUncertainty: 0.002,
  tableUncertainty: 0.001,
}))

test('driftPicture(heading, sections) is well-formed, and says in words what it shows', () => {
  const heading = { title: 'Bench & co', subtitles: ['gibs <adjusted>'] }
  const svg = driftPicture(heading, driftChart(CHECKS))
  readXml(svg)
  expect(svg).toContain('<title id="picture-title">Bench &amp; co</title>')
  expect(svg).toContain('4 rechecks; the newest found the feed 1.51 % from the table')
  expect(svg).toContain('2026-04-01')
  expect(svg).not.toContain('NaN')
  readXml(driftPicture(heading, driftChart(CHECKS.slice(0, 1))))
  const days = dayChart(
    CHECKS.map(({ at, value, ownUncertainty, tableUncertainty }, i) => ({
      ...{ session: `s${i}`, at, runs: 1, checkRuns: 1, value },
      ...{ ownUncertainty, tableUncertainty },
    })),
    0.007,
  )
  const both = driftPicture(heading, driftChart(CHECKS), days)
  readXml(both)
  expect(both).toContain('4 sessions since the table; the newest fed 1.51 % from it')
  expect(both).toContain('sessions since the newest table')
  readXml(driftPicture(heading, [], days))
})
