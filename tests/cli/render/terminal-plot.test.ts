import { describe, expect, it } from 'vitest'
import { plotSize } from '../../../src/cli/render/plot-size.js'
import { terminalPlot } from '../../../src/cli/render/terminal-plot.js'

const PLOT = {
  series: [
    { kind: 'line', points: [1, 2, 3, 4, 5, 6, 7, 8, 9].map((dial) => [dial, dial ** 2] as const) },
    {
      kind: 'points',
      points: [
        [1, 1],
        [5, 25],
        [9, 81],
      ],
      glyph: { unicode: '●', ascii: 'x' },
    },
  ],
  xTitle: 'dial',
  yTitle: 'mm/min',
} as const

describe('terminalPlot(plot, size)', () => {
  it('draws lines in braille dots and points on top, with the ends of both axes labelled', () => {
    expect(`\n${terminalPlot(PLOT, { width: 40, height: 8, unicode: true })}\n`).toMatchInlineSnapshot(`
      "
           mm/min
        81 │                              ⢀⠔●
           │                            ⣀⠔⠁
           │                         ⢠⠔⠊
      46.7 │                      ⣀⠤⠊⠁
           │                  ⢀⡠⠔⠋
           │              ⢀⡠●⠊⠁
           │         ⣀⡠⠴⠒⠉⠁
         1 │●⣀⠤⠤⠤⠒⠒⠋⠉
           └─────────────────────────────────
            1             dial              9
      "
    `)
  })

  it('draws the same in plain ASCII', () => {
    const plot = terminalPlot(PLOT, { width: 40, height: 8, unicode: false })
    // biome-ignore lint/suspicious/noControlCharactersInRegex: exactly the characters of ASCII
    expect(plot).toMatch(/^[\x00-\x7f]*$/)
    expect(`\n${plot}\n`).toMatchInlineSnapshot(`
      "
           mm/min
        81 |                               .x
           |                            ...
           |                         ...
      46.7 |                      ...
           |                  ....
           |             ...x.
           |       ......
         1 |x......
           +---------------------------------
            1             dial              9
      "
    `)
  })

  it('keeps within the width, however narrow, and stands a single point and a flat line', () => {
    for (const points of [
      [[3, 7]],
      [
        [0, 2],
        [5, 2],
      ],
      [
        [0, -0.001],
        [1e6, 0.002],
      ],
    ] as const) {
      const series = [{ kind: 'line' as const, points }]
      for (const width of [30, 57, 110]) {
        const lines = terminalPlot({ ...PLOT, series }, { width, height: 5, unicode: true }).split('\n')
        expect(Math.max(...lines.map((line) => line.length))).toBeLessThanOrEqual(width)
        expect(lines.join('')).toMatch(/[\u2801-\u28ff]/)
      }
    }
  })

  it('says so where there is nothing to draw', () => {
    expect(terminalPlot({ ...PLOT, series: [] }, { width: 40, height: 8, unicode: true })).toBe(
      'Nothing to draw.',
    )
  })
})

describe('plotSize(stream, height, env, platform)', () => {
  const unicodeOf = (env: Record<string, string>, platform: NodeJS.Platform = 'linux') =>
    plotSize({}, 10, env, platform).unicode

  it('takes the width of the terminal, else COLUMNS, else 80, within limits', () => {
    expect(plotSize({ columns: 72 }, 10, { COLUMNS: '50' }, 'linux').width).toBe(72)
    expect(plotSize({}, 10, { COLUMNS: '50' }, 'linux').width).toBe(50)
    expect(plotSize({}, 10, {}, 'linux').width).toBe(80)
    expect(plotSize({ columns: 400 }, 10, {}, 'linux').width).toBe(80)
    expect(plotSize({ columns: 5 }, 10, {}, 'linux').width).toBe(30)
  })

  it('uses Unicode in a UTF-8 locale alone, LC_ALL before LC_CTYPE before LANG (POSIX.1-2017, 8.2)', () => {
    expect(unicodeOf({ LANG: 'de_DE.UTF-8' })).toBe(true)
    expect(unicodeOf({ LC_ALL: 'C', LANG: 'de_DE.UTF-8' })).toBe(false)
    expect(unicodeOf({ LC_CTYPE: 'en_GB.utf8', LANG: 'C' })).toBe(true)
    expect(unicodeOf({})).toBe(false)
  })

  it('uses none on a dumb terminal or the kernel console, and on Windows where the terminal is a modern one', () => {
    expect(unicodeOf({ LANG: 'C.UTF-8', TERM: 'dumb' })).toBe(false)
    expect(unicodeOf({ LANG: 'C.UTF-8', TERM: 'linux' })).toBe(false)
    expect(unicodeOf({ WT_SESSION: 'x' }, 'win32')).toBe(true)
    expect(unicodeOf({}, 'win32')).toBe(false)
  })
})
