import { mkdtempSync, readdirSync, readFileSync, rmSync, writeFileSync } from 'node:fs'
import { tmpdir } from 'node:os'
import { join } from 'node:path'
import { afterAll, describe, expect, test } from 'vitest'
import { FileError } from '../../src/errors/index.js'
import { runSelfcheck } from '../../src/selfcheck/index.js'

const folder = mkdtempSync(join(tmpdir(), 'tablepace-selfcheck-'))
afterAll(() => rmSync(folder, { recursive: true }))

const HEAD = { title: 'a case', source: 'constructed here', status: 'common practice' }

function caseFile(name: string, topic: string, items: readonly object[]): string {
  const path = join(folder, `${name}.json`)
  writeFileSync(path, JSON.stringify({ topic, items: items.map((item) => ({ ...HEAD, ...item })) }))
  return path
}

/** The checks of one extra file alone. */
function run(topic: string, items: readonly object[]) {
  const path = caseFile('extra', topic, items)
  const { cases, skipped } = runSelfcheck([path])
  return {
    cases: cases.filter(({ file }) => file === 'extra.json'),
    skipped: skipped.filter(({ file }) => file === 'extra.json'),
  }
}

const failing = (topic: string, items: readonly object[]) =>
  run(topic, items)
    .cases.filter(({ passed }) => !passed)
    .map(({ quantity }) => quantity)

const src = new URL('../../src/', import.meta.url).pathname
const sources = readdirSync(src, { recursive: true, encoding: 'utf8' })
  .filter((path) => /\.tsx?$/.test(path) && !path.startsWith('selfcheck/'))
  .map((path) => ({ path, text: readFileSync(join(src, path), 'utf8') }))

/** Files outside selfcheck that call or import a name; a door that only hands it on, or a comment, is none. */
function usersOf(name: string): string[] {
  const imported = new RegExp(`import \\{[^}]*\\b${name}\\b[^}]*\\} from`)
  const called = new RegExp(`\\b${name}\\(`)
  return sources
    .filter(({ text }) => {
      const code = text.split('\n').filter((line) => !/^\s*(?:\*|\/|export function)/.test(line))
      return imported.test(text) || code.some((line) => called.test(line))
    })
    .map(({ path }) => path)
}

describe('runSelfcheck()', () => {
  const { cases, skipped } = runSelfcheck()

  test('agrees with every published value that a function of the program computes', () => {
    expect(
      cases.filter(({ passed }) => !passed).map(({ id, quantity, digits }) => ({ id, quantity, digits })),
    ).toEqual([])
  })

  test.each([...new Set(cases.map((each) => each.function))])(
    '%s makes numbers of the program too: code outside selfcheck uses it',
    (name) => {
      expect(usersOf(name)).not.toEqual([])
    },
  )

  test('goes through each of the functions that have published values', () => {
    expect([...new Set(cases.map((each) => each.function))].sort()).toEqual([
      'MM_PER_INCH',
      'chipThinningFactor',
      'evaluateCubic',
      'ewmaChart',
      'feedPerToothMm',
      'fromMPerMin',
      'fromMm',
      'individualsLimits',
      'isotonic',
      'leastSquares',
      'longRunSum',
      'normalQuantile',
      'parseFeedMmPerMin',
      'parseSpecificEnergyWsPerMm3',
      'pchip',
      'removalRateMm3PerMin',
      'scallopHeight',
      'spindlePowerW',
      'spindleSpeedRpm',
      'stopwatchFeed',
      'straightLine',
      'studentTQuantile',
      'tableFeedMmPerMin',
      'twoOneSidedTests',
    ])
  })

  test('lists what it cannot check, with the reason', () => {
    const why = (id: string) => skipped.find((each) => each.id === id)?.why
    expect(why('cusum-lucas-crosier')).toBe('no function of this program computes it yet')
    expect(why('rpn14')).toContain('fritsch_carlson_1980_two_pass')
    expect(why('nist-strd-norris')).toBeUndefined()
  })
})

describe('runSelfcheck(files) reports a wrong value as failing', () => {
  const x = [1, 2, 3, 4]
  const y = [2.1, 3.9, 6.2, 7.8]

  test('in a least-squares case, coefficient by coefficient', () => {
    const item = (coefficients: readonly number[]) => ({
      id: 'line',
      model: 'y = b0 + b1 x',
      data: { x, y },
      expected: { coefficients, residual_df: 2 },
    })
    expect(failing('least-squares', [item([0.15, 1.94])])).toEqual([])
    expect(failing('least-squares', [item([0.15, 1.94001])])).toEqual(['coefficients[1]'])
    expect(failing('least-squares', [item([0.15])])).toEqual(['coefficients[1]'])
    expect(failing('least-squares', [item([0.15, 1.94, 0])])).toEqual(['coefficients[2]'])
  })

  test('in a zero that is not zero', () => {
    const item = { id: 'line', model: 'y = b0 + b1 x', data: { x, y }, expected: { residual_sd: 0 } }
    expect(failing('least-squares', [item])).toEqual(['residual_sd'])
  })

  test('in a case of every other topic that has a runner', () => {
    expect(
      failing('gum', [{ id: 't', expected_full: { v: [5, 6], '0.95': [2.57058183564, 2.44] } }]),
    ).toEqual(['t 0.95[1]'])
    expect(
      failing('gum', [{ id: 'rows', expected_printed_rows: { levels: [0.95], '5': [2.57], '6': [2.46] } }]),
    ).toEqual(['t row 6[0]'])
    expect(
      failing('hac', [{ id: 'mean', data: { y: [1, 2, 4] }, expected: { se_lag0: 0.7, se_lag1: 0.7 } }]),
    ).toEqual(['se_lag0', 'se_lag1'])
    expect(
      failing('monotone', [
        {
          id: 'pchip',
          data: { x: [0, 1, 2], y: [0, 1, 4] },
          expected: { pchip: { at: [0.5], value: [0.3125], node_slopes: [0, 1.5, 4.1] } },
        },
        { id: 'isotonic', data: { y: [1, 3, 2] }, expected: { fit: [1, 2.5, 2.6] } },
      ]),
    ).toEqual(['node_slopes[2]', 'fit[2]'])
    expect(failing('pooling', [{ id: 'mean', cases: [{ data: [1, 2], mean: 1.5, sd: 1 }] }])).toEqual([
      'case 1 sd',
    ])
    expect(
      failing('stopwatch', [
        {
          id: 'feed',
          cases: [{ travel_in: 6, time_s: 72, u_time_s: 0.1, feed_in_per_min: 5, relative_percent: 0.14 }],
        },
      ]),
    ).toEqual(['case 1 relative_percent'])
    expect(
      failing('units-and-formats', [{ id: 'inch', cases: [{ in_per_min: 1, mm_per_min: 25.41 }] }]),
    ).toEqual(['case 1 in_per_min', 'case 1 mm_per_min'])
    expect(
      failing('milling', [
        {
          id: 'speed and feed',
          cases: [
            { V_ft_per_min: 100, D_in: 0.5, rpm: 764 },
            { rpm: 600, teeth: 4, per_tooth_in: 0.0025, feed_in_per_min: 6, feed_mm_per_min: 152.5 },
          ],
        },
        {
          id: 'cut off',
          data: { rpm: 88, teeth: 32, per_tooth_in: 0.004 },
          expected_printed: { feed_in_per_min: 11.1 },
        },
      ]),
    ).toEqual(['case 1 rpm', 'case 2 feed_mm_per_min', 'printed feed_in_per_min'])
    expect(
      failing('milling-starting-values', [{ id: 'speed', value: { m_per_min: 28, ft_per_min: 91.7 } }]),
    ).toEqual(['m_per_min', 'ft_per_min'])
    expect(
      failing('inverse-prediction', [
        { id: 'line', data: { x, y }, expected: { slope: 1.94, intercept: 0.16 } },
      ]),
    ).toEqual(['intercept'])
    expect(
      failing('equivalence', [
        { id: 'tost', expected: { t_lower: 2, t_upper: -2, df: 10, p_lower: 0.0366940174, p_upper: 0.04 } },
      ]),
    ).toEqual(['p_upper'])
    expect(
      failing('equivalence', [
        {
          id: 'tost',
          data: { m: 0.5, mu: 0.5, sd: 1, n: 100, low: -0.36, high: 0.36 },
          expected: { p_lower: 0.000250645, ci90_lo: -0.1 },
        },
      ]),
    ).toEqual(['p_lower', 'ci90_lo'])
    expect(
      failing('control-charts', [
        { id: 'steps', data: { x: [1, 2, 1, 2], d2: 1.128 }, expected: { mean: 1.5, ucl: 4 } },
        {
          id: 'ewma',
          data: { x: [1, 1], target: 0, sd: 1, lambda: 0.5, limit: 3 },
          expected: { ewma: [0.5, 0.8], ucl: 1.73205080757 },
        },
      ]),
    ).toEqual(['ucl', 'ewma[1]'])
  })
})

describe('runSelfcheck(files) works from the fields of a case', () => {
  test('reads polynomials, a line through the origin and several regressors from the model and the data', () => {
    const x = [0, 1, 2, 3, 4, 5]
    const rows = [
      [1, 2],
      [2, 1],
      [3, 5],
      [4, 3],
      [5, 8],
    ]
    const result = run('least-squares', [
      {
        id: 'cubic',
        model: 'polynomial degree 3 with intercept',
        data: { x, y: x.map((v) => 1 - v + 2 * v ** 3) },
        expected: { coefficients: [1, -1, 0, 2] },
      },
      {
        id: 'quadratic formula',
        model: 'y = b0 + b1 x + b2 x^2',
        data: { x, y: x.map((v) => 3 + 0.5 * v ** 2) },
        expected: { coefficients: [3, 0, 0.5] },
      },
      {
        id: 'origin',
        model: 'y = b1 x (no intercept)',
        data: { x: [1, 2], y: [3, 6] },
        expected: { coefficients: [3] },
      },
      {
        id: 'several',
        model: 'y = b0 + b1 x1 + b2 x2',
        data: { x: rows, y: rows.map(([a, b]) => 7 + 2 * a! - 3 * b!) },
        expected: { coefficients: [7, 2, -3] },
      },
    ])
    expect(result.cases.length).toBe(4 + 3 + 1 + 3)
    expect(result.cases.filter(({ passed }) => !passed)).toEqual([])
  })

  test('finds the lag of a Newey–West case in its field or its words', () => {
    const data = { y: [1, 2.5, 2.4, 4.2, 4.9], x: [0, 1, 2, 3, 4] }
    const seOf = (extra: object) => {
      const first = run('hac', [{ id: 'line', data, expected: { newey_west_se: [0.1, 0.1] }, ...extra }])
      return first.cases.map(({ got }) => got)
    }
    expect(seOf({ lag: 2 })).toEqual(seOf({ title: 'Bartlett kernel, lag 2' }))
    expect(seOf({ lag: 2 })).toEqual(seOf({ model: 'weights 1 - l/3' }))
    expect(seOf({ lag: 2 })).not.toEqual(seOf({ lag: 1 }))
  })

  test('leaves out the uncertainty of a time surer than the watch', () => {
    const { cases, skipped } = run('stopwatch', [
      {
        id: 'feed',
        cases: [{ travel_mm: 100, time_s: 60, u_time_s: 0.01, feed_mm_per_min: 100, relative_percent: 0.02 }],
      },
    ])
    expect(cases.map(({ quantity }) => quantity)).toEqual(['case 1 feed_mm_per_min'])
    expect(skipped[0]?.why).toContain('case 1 relative_percent')
  })
})

describe('runSelfcheck(paths) with what it cannot read', () => {
  const whyOf = (path: string, file: string) =>
    runSelfcheck([path]).skipped.filter((each) => each.file === file)

  test('refuses a path that is not there', () => {
    try {
      runSelfcheck([join(folder, 'missing.json')])
      expect.unreachable()
    } catch (error) {
      expect(error).toBeInstanceOf(FileError)
      expect(error).toMatchObject({ code: 'cases-unreadable', exitCode: 5 })
    }
  })

  test('refuses a file that is no JSON', () => {
    const broken = join(folder, 'broken.json')
    writeFileSync(broken, '{"topic": ')
    expect(() => runSelfcheck([broken])).toThrow(FileError)
  })

  test('lists a topic that it does not know', () => {
    const skipped = whyOf(caseFile('unknown', 'astrology', [{ id: 'stars' }]), 'unknown.json')
    expect(skipped).toEqual([{ file: 'unknown.json', id: 'file', why: expect.stringContaining('astrology') }])
  })

  test('lists a file without items', () => {
    const path = join(folder, 'no-items.json')
    writeFileSync(path, '{"topic":"gum"}')
    expect(whyOf(path, 'no-items.json')).toMatchObject([
      { id: 'file', why: expect.stringContaining('items') },
    ])
  })

  test('takes the case files of a folder, and runs the sound items beside a bad one', () => {
    const inside = mkdtempSync(join(folder, 'cases-'))
    const sound = { id: 'feed', cases: [{ travel_in: 6, time_s: 72, feed_in_per_min: 5 }] }
    const content = {
      topic: 'stopwatch',
      items: [
        { ...HEAD, id: 'a', cases: [{}] },
        { ...HEAD, ...sound },
      ],
    }
    writeFileSync(join(inside, 'mixed.json'), JSON.stringify(content))
    writeFileSync(join(inside, 'notes.txt'), 'no case file')
    const { cases, skipped } = runSelfcheck([inside])
    expect(cases.filter(({ file }) => file === 'mixed.json')).toMatchObject([{ id: 'feed', passed: true }])
    expect(skipped.filter(({ file }) => file === 'mixed.json')).toMatchObject([{ id: 'a' }])
  })

  test('lists a factor that names neither a constant nor its data', () => {
    const skipped = whyOf(
      caseFile('factor', 'milling', [{ id: 'a', expected: { factor: 3 } }]),
      'factor.json',
    )
    expect(skipped).toMatchObject([{ id: 'a', why: 'no function of this program computes it yet' }])
  })

  test('lists an item without what its topic needs, naming file, item and field', () => {
    const cases: readonly (readonly [string, object, string])[] = [
      [
        'least-squares',
        { id: 'a', model: 'y = b0 + b1 x', data: { x: [1, 'two'], y: [1, 2] }, expected: {} },
        'data.x',
      ],
      [
        'least-squares',
        { id: 'a', model: 'a spline', data: { x: [1, 2], y: [1, 2] }, expected: {} },
        'model',
      ],
      [
        'least-squares',
        { id: 'a', model: 'y = b0 + b1 x', data: { x: [1, 1], y: [1, 2] }, expected: {} },
        'data',
      ],
      ['least-squares', { id: 'a', model: 'y = b0 + b1 x', data: { x: [1, 2], y: [1, 2] } }, 'expected'],
      ['hac', { id: 'a', data: { y: [1, 2, 3], x: [1, 2] }, expected: {} }, 'data'],
      ['stopwatch', { id: 'a', cases: [{ travel_in: 6 }] }, 'cases.0.time_s'],
      ['gum', { id: 'a', source: 7 }, 'source'],
    ]
    for (const [topic, item, field] of cases) {
      const skipped = whyOf(caseFile('bad', topic, [item]), 'bad.json')
      expect(skipped, JSON.stringify(item)).toMatchObject([{ id: 'a' }])
      expect(skipped[0]?.why).toContain('bad.json')
      expect(skipped[0]?.why).toContain('item "a"')
      expect(skipped[0]?.why).toContain(`field "${field}`)
    }
  })
})
