import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { madeOnce } from '../../harness/made-once.js'
import { programOn, temporaryFolder } from '../../harness/program.js'

interface Warned {
  readonly code: string
  readonly message: string
  readonly runIds?: readonly string[]
}
interface FitJson {
  readonly tables: readonly {
    readonly marks: readonly {
      readonly dial: number
      readonly feed: { readonly interval95: readonly [number, number] }
    }[]
    readonly warnings: readonly Warned[]
  }[]
}

const DIALS = [2, 3, 4, 5, 6, 7, 8, 9, 10]
const MADE_AT: Readonly<Record<string, number>> = { '3/1': 4 }
/** Nine marks, three timings each over 6 in; the second one at dial 3 was made with the dial at 4. */
const ROWS = DIALS.flatMap((dial) =>
  [0, 1, 2].map((k) => {
    const set = MADE_AT[`${dial}/${k}`] ?? dial
    return `${dial},+,6,${((60 * 6) / (2 * set) + 0.13 * (k - 1) + 0.05 * Math.sin(9 * dial + k)).toFixed(2)}`
  }),
)

const made = madeOnce(async (folder) => {
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
  await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
  writeFileSync(join(folder, 'sheet.csv'), `dial,direction,distance,time\n${ROWS.join('\n')}\n`)
  const { runs } = await tablepace.json<{ runs: { id: string; dial: number; warnings: Warned[] }[] }>(
    'traverse',
    '--from',
    join(folder, 'sheet.csv'),
  )
  return runs
})

async function measured() {
  const { folder, made: runs } = await made()
  return {
    tablepace: programOn(join(folder, 'store.db')),
    runs,
    oddId: runs[DIALS.indexOf(3) * 3 + 1]!.id,
  }
}

const halfWidths = ({ tables }: FitJson) =>
  new Map(tables[0]!.marks.map(({ dial, feed }) => [dial, Math.log(feed.interval95[1] / feed.interval95[0])]))

describe('one run of 27 made with the dial at the next mark', () => {
  it('is named when it comes, at the fit with the command that drops it, and at lookups that rest on it', async () => {
    const { tablepace, runs, oddId } = await measured()
    expect(
      runs.filter((run) => run.warnings.some(({ code }) => code === 'odd-run')).map((run) => run.id),
    ).toEqual([oddId])
    const fit = await tablepace.run('fit')
    expect(fit.stderr).toContain(
      `Leave it out with: tablepace run drop ${oddId.slice(-6)} --reason "odd run"`,
    )
    expect(fit.stderr).toContain('It looks like mark 4')
    const codes = async (...lookup: string[]) =>
      (await tablepace.json<{ warnings: Warned[] }>(...lookup)).warnings.map(({ code }) => code)
    expect(await codes('feed', '3')).toEqual(['odd-run'])
    expect(await codes('feed', '3.4')).toEqual(['odd-run'])
    expect(await codes('dial', '6.4')).toEqual(['odd-run'])
    expect(await codes('feed', '8')).toEqual([])
  })

  it('leaves its mark and all others as they are without it', async () => {
    const { tablepace, oddId } = await measured()
    const standing = await tablepace.json<FitJson>('fit')
    expect(standing.tables[0]!.warnings.find(({ code }) => code === 'odd-run')?.runIds).toEqual([oddId])
    const mark = standing.tables[0]!.marks.find(({ dial }) => dial === 3)!
    expect(mark.feed.interval95[0]).toBeLessThan(6)
    expect(mark.feed.interval95[1]).toBeGreaterThan(6)
    await tablepace.json('run', 'drop', oddId, '--reason', 'odd run')
    const without = await tablepace.json<FitJson>('fit')
    expect(without.tables[0]!.warnings.map(({ code }) => code)).not.toContain('odd-run')
    const before = halfWidths(without)
    for (const [dial, width] of halfWidths(standing)) expect(width / before.get(dial)!).toBeLessThan(1.15)
  })
})

describe('a first run by stopwatch far off what its neighbours lead one to expect', () => {
  it('is told as it is entered, with the slip that it looks like and the command that leaves it out', async () => {
    const tablepace = programOn(join(temporaryFolder(), 'store.db'))
    await tablepace.json('machine', 'add', 'Bench', '--units', 'in')
    await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
    const enter = (dial: number, seconds: number) =>
      tablepace.run(
        'traverse',
        '--dial',
        `${dial}`,
        '--direction',
        '+',
        '--distance',
        '6in',
        '--time',
        `${seconds}`,
      )
    for (const dial of [2, 3, 4])
      expect((await enter(dial, 180 / dial)).stderr).not.toContain('It looks like')
    // 36 s, written down as 1:36 and a bit.
    const told = await enter(5, 97)
    expect(told.exitCode).toBe(0)
    expect(told.stderr).toMatch(
      /At dial 5, direction \+, one run feeds 2\.\d times slower than the other marks lead you to expect\./,
    )
    expect(told.stderr).toContain('It looks like 97 s written for 37 s')
    expect(told.stderr).toMatch(/Leave it out with: tablepace run drop \w+ --reason "odd run"/)
    expect((await tablepace.run('fit')).stderr).toContain('one run feeds')
  })
})
