import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { programOn, temporaryFolder } from '../../harness/program.js'

interface Today {
  session: string
  dial?: { value: number; interval95: [number, number] }
  feed: { value: number; interval95: [number, number] }
  nextSetting95: [number, number]
  shiftPercent: { value: number; interval95: [number, number] }
  checkRuns: number
}
interface Day {
  readonly session: string
  readonly runs: number
  readonly checkRuns: number
  readonly differencePercent: { readonly interval95: readonly [number, number] }
}

interface Lookup {
  feed: { value: number; interval95: [number, number] }
  nextSetting95: [number, number]
  today: Today | null
}

const width = ([low, high]: readonly [number, number]) => high - low

/** Invented: dials 2 to 10, three runs each, in/min about 1.2 · dial. */
const SHEET = [2, 4, 6, 8, 10].flatMap((dial) =>
  [0.996, 1.001, 1.003].map((factor) => `${dial},+,6in,${((6 / (1.2 * dial)) * 60 * factor).toFixed(2)}s,`),
)

it('a check run teaches its session, changes no table, and any day narrows where days agree', async () => {
  const folder = temporaryFolder()
  const { run, json } = programOn(join(folder, 'store.db'))
  const sheet = join(folder, 'sheet.csv')
  writeFileSync(sheet, ['dial,direction,distance,time,note', ...SHEET].join('\n'))
  await run('machine', 'add', 'Bench', '--units', 'in')
  await run('axis', 'add', 'X', '--travel', '20in', '--dial', '0..10')
  await run('traverse', '--from', sheet, '--session', 'monday')
  const fit = await json<{ tables: { hash: string; runIds: string[] }[] }>('fit')

  // Without a run, the day may bring anything; the session of the table is the table's own.
  const unknown = await json<Lookup>('feed', '4', '--session', 'tuesday')
  expect(unknown.today).toBeNull()
  const own = await json<Lookup>('feed', '4', '--session', 'monday')
  expect(own.today).toMatchObject({ session: 'monday', shiftPercent: { value: 0 }, checkRuns: 0 })
  expect(width(own.today!.nextSetting95)).toBeLessThan(width(own.nextSetting95))
  expect(width(own.today!.feed.interval95)).toBeLessThan(width(own.feed.interval95))
  const text = (await run('feed', '4', '--session', 'tuesday')).stdout.replaceAll(/\s+/g, ' ')
  expect(text).toContain('on any day')
  expect(text).toMatch(
    /session tuesday has no run that tells of this table: a check run at 4 in this direction would narrow that to about ± \d.* \(`tablepace traverse --check --dial 4 --session tuesday …`\)/,
  )

  // 5 % slower, from one check run at 6.
  const check = ['--direction', '+', '--distance', '6in', '--check']
  const checked = await run(
    'traverse',
    '--dial',
    '6',
    '--time',
    `${((60 * 6) / (7.2 * 0.95)).toFixed(2)}s`,
    '--session',
    'tuesday',
    ...check,
  )
  expect(checked.stderr.replaceAll(/\s+/g, ' ')).toMatch(
    /Direction \+: today [\d.]+ % slower than the table \(.*\), from one check run at 6 in session tuesday\./,
  )
  const known = await json<Lookup>('feed', '4', '--session', 'tuesday')
  expect(known.today!.checkRuns).toBe(1)
  expect(known.today!.shiftPercent.value).toBeGreaterThan(-6)
  expect(known.today!.shiftPercent.value).toBeLessThan(-3.5)
  expect(known.today!.feed.value).toBeLessThan(0.97 * known.feed.value)
  expect(width(known.today!.nextSetting95)).toBeLessThan(width(unknown.nextSetting95))
  // A day that far off makes any other day less sure.
  expect(width(known.nextSetting95)).toBeGreaterThan(width(unknown.nextSetting95))
  const dial = await json<{ dial: { value: number }; today: Today }>(
    'dial',
    '6in/min',
    '--session',
    'tuesday',
  )
  expect(dial.today.dial!.value).toBeGreaterThan(dial.dial.value)
  // Long lines are broken for the terminal.
  const said = (await run('feed', '4', '--session', 'tuesday')).stdout.replaceAll(/\s+/g, ' ')
  expect(said).toMatch(/today [\d.]+ % slower than the table .* from one check run at 6 in session tuesday/)

  // The list of runs names it, and no table is made of it.
  expect((await run('runs')).stdout).toContain('check run: counts for its day, not for the table')
  const again = await json<{ tables: { hash: string }[]; leftOut: { code: string }[] }>('fit')
  expect(again.tables[0]!.hash).toBe(fit.tables[0]!.hash)
  expect(again.leftOut.map(({ code }) => code)).toEqual(['check'])
  const notes = (await run('fit')).stderr.replaceAll(/\s+/g, ' ')
  expect(notes).toContain('Check runs: 1. They make no mark')
  expect(notes).not.toContain('Left out')

  // Taken back, it is as if it had not been; days that agree narrow any day.
  const { runs } = await json<{ runs: { id: string; dial: number }[] }>('runs')
  await run('run', 'drop', runs.at(-1)!.id, '--reason', 'wrong mark')
  expect(await json<Lookup>('feed', '4', '--session', 'tuesday')).toMatchObject({
    nextSetting95: unknown.nextSetting95,
    today: null,
  })
  for (const session of ['a', 'b', 'c']) {
    await run('traverse', '--dial', '10', '--time', '30.01s', '--session', session, ...check)
  }
  const agreed = await json<Lookup>('feed', '4', '--session', 'z')
  expect(width(agreed.nextSetting95)).toBeLessThan(0.97 * width(unknown.nextSetting95))

  // The history tells each of them against the table, and sees no drift in them.
  const { axes } = await json<{ axes: { days: Day[]; warnings: unknown[] }[] }>('history')
  expect(axes[0]!.days.map((day) => [day.session, day.runs, day.checkRuns])).toEqual(
    ['a', 'b', 'c'].map((session) => [session, 1, 1]),
  )
  const [low, high] = axes[0]!.days[0]!.differencePercent.interval95
  expect(low).toBeLessThan(0)
  expect(high).toBeGreaterThan(0)
  expect(axes[0]!.warnings).toEqual([])
  const told = (await run('history')).stdout.replaceAll(/\s+/g, ' ')
  expect(told).toMatch(/session a: [+-][\d.]+ % against the table .* from one check run/)

  // 5 % slower at 6 and 5 % faster at 2 of one day, as where 3 % of the fastest feed is gained everywhere: 2.5 % slower at 4.
  const timed = (feed: number) => `${((60 * 6) / feed).toFixed(2)}s`
  await run('traverse', '--dial', '6', '--time', timed(7.2 * 0.95), '--session', 'uneven', ...check)
  await run('traverse', '--dial', '2', '--time', timed(2.4 * 1.05), '--session', 'uneven', ...check)
  const uneven = await json<Lookup>('feed', '4', '--session', 'uneven')
  expect(uneven.today!.feed.value / uneven.feed.value).toBeGreaterThan(0.965)
  expect(uneven.today!.feed.value / uneven.feed.value).toBeLessThan(0.99)
  const both = (await run('feed', '4', '--session', 'uneven')).stdout.replaceAll(/\s+/g, ' ')
  expect(both).toMatch(
    /today [\d.]+ % faster than the table at 2 \(.*\) and [\d.]+ % slower at 6 \(.*\), from 2 check runs at 2, 6 in session uneven/,
  )
  // No such feed makes it 5 % faster at 10 as well: what the day does at any other setting is then open.
  await run('traverse', '--dial', '10', '--time', timed(12 * 1.05), '--session', 'uneven', ...check)
  const odd = await json<Lookup>('feed', '4', '--session', 'uneven')
  expect(width(odd.today!.shiftPercent.interval95)).toBeGreaterThan(10)
  // What this day did, another may do; that three days had a check run each tells nothing of it.
  const anyDay = await json<Lookup>('feed', '4', '--session', 'z')
  expect(width(anyDay.nextSetting95)).toBeGreaterThan(1.5 * width(unknown.nextSetting95))
  const warned = (await run('feed', '4', '--session', 'uneven')).stdout.replaceAll(/\s+/g, ' ')
  expect(warned).toContain('these settings differ by more than runs scatter')
  expect(said).not.toContain('these settings differ')
})
