import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, it } from 'vitest'
import { programOn, temporaryFolder } from '../../harness/program.js'

/** Feeds at the marks 2, 4, 6, 8 of an invented drive with two gears, in/min. */
const FEEDS = { LO: [1, 2, 3, 4], HI: [3, 6, 9, 12] } as const

it('a dial with a LO and a HI range is entered once, measured in each, and looked up over both', async () => {
  const folder = temporaryFolder()
  const tablepace = programOn(join(folder, 'store.db'))
  const told = async (...args: string[]): Promise<string> => (await tablepace.run(...args)).stderr
  await tablepace.json('machine', 'add', 'Mill', '--units', 'in')
  const dial = ['--travel', '20in', '--dial', '1..8', '--marks', '2,4,6,8', '--stepped'] as const
  expect(await told('axis', 'add', 'X', ...dial, '--ranges', '1,2')).toContain('does not name the ranges')
  const { axes } = await tablepace.json<{ axes: { name: string; range: unknown }[] }>(
    ...(['axis', 'add', 'X', ...dial, '--ranges', 'LO,HI'] as const),
  )
  expect(axes).toMatchObject([
    { name: 'X-LO', range: { of: 'X', name: 'LO' } },
    { name: 'X-HI', range: { of: 'X', name: 'HI' } },
  ])
  expect((await tablepace.run('axis', 'list')).stdout).toContain('X-HI: travel 20.000 in, dial 1..8')

  // A setting names its range, before or behind its number.
  for (const [range, feeds] of Object.entries(FEEDS)) {
    for (const [index, feed] of [...feeds.entries(), ...feeds.entries()]) {
      const setting =
        index % 2 === 0 ? `${range} ${2 * index + 2}` : `${2 * index + 2} ${range.toLowerCase()}`
      const time = (60 * 4 * (1 + 0.002 * index)) / feed
      const entry = ['--distance', '4in', '--time', time.toFixed(2), '--direction', '+'] as const
      await tablepace.json('traverse', '--axis', 'X', '--dial', setting, ...entry)
    }
    expect(await tablepace.json('fit', '--axis', `x-${range}`)).toMatchObject({
      tables: [{ axis: `X-${range}`, marks: [{}, {}, {}, {}] }],
    })
  }

  const answered = await tablepace.json<{ range: string; otherRanges: { range: string }[] }>(
    ...(['dial', '3in/min', '--axis', 'X'] as const),
  )
  expect([answered.range, ...answered.otherRanges.map(({ range }) => range)].sort()).toEqual(['HI', 'LO'])
  expect((await tablepace.run('dial', '3in/min')).stdout).toMatch(
    /Range (?:LO:\nFor [\s\S]*Range HI|HI:\nFor [\s\S]*Range LO):\nFor 3/,
  )
  expect(await tablepace.json('dial', '12in/min', '--axis', 'X')).toMatchObject({
    ...{ range: 'HI', otherRanges: [], dial: { value: 8 } },
  })
  expect(await told('dial', '40in/min', '--axis', 'X')).toMatch(
    /measured on Mill X-HI: [\s\S]*measured on Mill X-LO: /,
  )
  expect((await tablepace.run('feed', 'HI 4')).stdout).toMatch(/^Dial HI 4 gives (?:5\.9|6\.0)/)
  expect((await tablepace.run('feed', '4lo', '--axis', 'X')).stdout).toMatch(
    /^Dial LO 4 gives (?:1\.99|2\.0)/,
  )
  expect((await tablepace.run('feed', 'HI 4', '--axis', 'X-HI')).exitCode).toBe(0)

  expect((await tablepace.run('explain', 'HI 4', '--axis', 'X')).stdout).toMatch(/^Dial HI 4 gives/)
  expect(await tablepace.json('explain', '4', '--axis', 'X-LO')).toMatchObject({ dial: 4 })
  // The runs were timed by hand: none tells where the table came to rest.
  expect(await told('stops', '--axis', 'X', '--dial', 'lo 4,LO 6')).toContain(
    'dial 4 has no coast; dial 6 has no coast',
  )

  // What is for one range says which to name.
  const which = 'The dial of X has several ranges, each with tables of its own: X-HI, X-LO.'
  for (const args of [
    ['feed', '4'],
    ['fit'],
    ['sheet'],
    ['table'],
    ['calibrate', '--stopwatch'],
    ['explain', '4'],
    ['stops'],
  ]) {
    const { stderr, exitCode } = await tablepace.run(...args, '--axis', 'X')
    expect([args, exitCode]).toEqual([args, 2])
    expect(stderr).toContain(which)
  }
  expect((await tablepace.run('sheet', '--axis', 'X-LO')).stdout).toContain('2,plus,')
  expect(
    (await tablepace.run('recheck', '--plan', '--axis', 'X-HI', '--within', '3', '--reason', 'x')).exitCode,
  ).toBe(0)
  const card = join(folder, 'card.html')
  await tablepace.json('export', '--axis', 'X-HI', '--format', 'card', '--to', card)
  expect(readFileSync(card, 'utf8')).toContain('Mill · X-HI: where to set the dial')

  // Handed on one by one, the ranges are those of one dial elsewhere too; under another name, each is an axis by itself.
  const other = programOn(join(folder, 'other.db'))
  for (const [axis, format, file] of [
    ['X-LO', 'json', 'lo.json'],
    ['X-HI', 'datapackage', 'hi.zip'],
  ] as const) {
    const to = join(folder, file)
    await tablepace.json('export', '--axis', axis, '--format', format, '--to', to)
    await other.json('import', to)
  }
  expect((await other.run('feed', 'HI 4')).stdout).toMatch(/^Dial HI 4 gives (?:5\.9|6\.0)/)
  expect((await other.run('fit', '--axis', 'X')).stderr).toContain(which)
  await other.json('import', join(folder, 'hi.zip'), '--axis', 'Y')
  // A file without the link, as older programs wrote it, still comes in.
  const { axisDetails, ...document } = JSON.parse(readFileSync(join(folder, 'lo.json'), 'utf8'))
  expect(axisDetails.range).toEqual({ of: 'X', name: 'LO' })
  const { range: _, ...unlinked } = axisDetails
  const old = join(folder, 'old.json')
  writeFileSync(old, JSON.stringify({ ...document, machine: 'Old', axisDetails: unlinked }))
  await other.json('import', old)
  const { machines } = await other.json<{
    machines: { name: string; axes: { name: string; range?: unknown }[] }[]
  }>('machine', 'list')
  expect(
    machines.map(({ name, axes }) => [name, axes.map((axis) => [axis.name, axis.range !== undefined])]),
  ).toEqual([
    [
      'Mill',
      [
        ['X-HI', true],
        ['X-LO', true],
        ['Y', false],
      ],
    ],
    ['Old', [['X-LO', false]]],
  ])
})
