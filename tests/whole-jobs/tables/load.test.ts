import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { madeOnce } from '../../harness/made-once.js'
import { programOn } from '../../harness/program.js'
import { unbroken } from '../../harness/unbroken.js'

interface Answer {
  dial: { value: number }
  feed: { value: number; interval95: [number, number] }
  load: null | {
    kind: string
    differencePercent: { value: number; interval95: [number, number] }
    dials: number[]
    cuttingRuns: number
  }
}

interface Fit {
  tables: { marks: { dial: number; feed: { value: number }; runs: number }[] }[]
  leftOut: { runId: string; code: string; message: string }[]
}

/** Free runs at four dials with their table, and a sheet of runs under a cut that are 5 % slower at two of them. */
const made = madeOnce(async (folder) => {
  const tablepace = programOn(join(folder, 'store.db'))
  await tablepace.json('machine', 'add', 'Bench', '--units', 'in', '--spindle', '660')
  await tablepace.json('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
  const sheet = (name: string, dials: readonly number[], slower: number) => {
    const rows = dials.flatMap((dial) =>
      [1, 1.004, 0.997].map(
        (factor) => `${dial},+,4in,${((slower * factor * 240) / (1.5 * dial)).toFixed(2)}s`,
      ),
    )
    const path = join(folder, name)
    writeFileSync(path, `dial,direction,distance,time\n${rows.join('\n')}\n`)
    return path
  }
  sheet('cut.csv', [4, 6], 1 / 0.95)
  await tablepace.json('traverse', '--from', sheet('free.csv', [2, 4, 6, 8], 1))
  return tablepace.json<Fit>('fit')
})

async function shop() {
  const { folder, made: before } = await made()
  const cutting = ['traverse', '--from', join(folder, 'cut.csv'), '--tag', 'load=cutting'] as const
  return { tablepace: programOn(join(folder, 'store.db')), cutting, before }
}

describe('runs under cut', () => {
  it('stay out of the table, and that is said', async () => {
    const { tablepace, cutting, before } = await shop()
    await tablepace.json(...cutting)
    const after = await tablepace.json<Fit>('fit')
    expect(after.tables[0]!.marks).toEqual(before.tables[0]!.marks)
    expect(after.leftOut.map((run) => run.code)).toEqual(Array.from({ length: 6 }, () => 'cutting'))
    const { stderr } = await tablepace.run('fit')
    expect((await tablepace.run('runs')).stdout.match(/while cutting/g)).toHaveLength(6)
    expect(stderr).toMatch(/6 runs made while cutting are left out of the table; .*--load cutting/)
    // Named by their tag they are fitted by themselves.
    const alone = await tablepace.json<Fit>('fit', '--tag', 'load=cutting')
    expect(alone.tables[0]!.marks.map((mark) => [mark.dial, mark.runs])).toEqual([
      [4, 3],
      [6, 3],
    ])
  })

  it('correct a lookup where that is asked for, with their own uncertainty, and never unasked', async () => {
    const { tablepace, cutting } = await shop()
    const before = await tablepace.json<Answer>('feed', '5')
    await tablepace.json(...cutting)
    const free = await tablepace.json<Answer>('feed', '5')
    expect(free).toEqual(before)
    expect(free.load).toBeNull()

    const cut = await tablepace.json<Answer>('feed', '5', '--load', 'cutting')
    expect(cut.feed.value / free.feed.value).toBeCloseTo(0.95, 3)
    expect(cut.load).toMatchObject({ kind: 'cutting', dials: [4, 6], cuttingRuns: 6 })
    const [low, high] = cut.load!.differencePercent.interval95
    expect(low).toBeLessThan(-5)
    expect(high).toBeGreaterThan(-5)
    const width = ({ feed }: Answer) => Math.log(feed.interval95[1] / feed.interval95[0])
    expect(width(cut)).toBeGreaterThan(width(free))

    const seven = await tablepace.json<Answer>('dial', '7', '--load', 'cutting')
    expect(seven.dial.value).toBeCloseTo(
      (await tablepace.json<Answer>('dial', String(7 / 0.95))).dial.value,
      1,
    )
    const { stdout } = await tablepace.run('dial', '7', '--load', 'cutting')
    expect(unbroken(stdout)).toMatch(
      /while cutting: -5\.\d % against running free \(95 %: .*\), from 6 runs while cutting/,
    )
    const mill = [
      'cut',
      '--diameter',
      '0.5in',
      '--teeth',
      '4',
      '--speed',
      '100ft/min',
      '--chip-load',
      '0.0027in',
    ]
    const answer = await tablepace.json<{ dial: Answer['dial']; load: Answer['load'] }>(
      ...mill,
      '--load',
      'cutting',
    )
    expect(answer.load?.kind).toBe('cutting')
    expect(answer.dial.value).toBeGreaterThan((await tablepace.json<Answer>('dial', '7.128')).dial.value)
  })

  it('are not extrapolated, and missing ones are told', async () => {
    const { tablepace, cutting } = await shop()
    const none = await tablepace.run('dial', '7', '--load', 'cutting', '--json')
    expect(none.exitCode).toBe(1)
    expect(none.stderr).toMatch(/"load-not-measured"/)
    await tablepace.json(...cutting)
    const beyond = await tablepace.run('dial', '11', '--load', 'cutting', '--json')
    expect(beyond.exitCode).toBe(1)
    expect(beyond.stderr).toMatch(/"feed-out-of-range"/)
  })
})
