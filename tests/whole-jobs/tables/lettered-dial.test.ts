import { readFileSync, writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { describe, expect, it } from 'vitest'
import { programOn, temporaryFolder } from '../../harness/program.js'

/** Feeds of an invented gearbox, in/min, by the letter of its lever. */
const FEEDS = { A: 2, B: 4, C: 8, D: 12 } as const
/** Seconds a traverse took beside the even half minute, by pass: invented. */
const OFF_S = [0, 0.3, -0.2]

/** What a person is shown names a setting by its letter: `dial 3` would be a slip. */
const A_NUMBER = /(?<!-)\b(?:dials?|marks?) \d/i

describe('a dial that carries letters', () => {
  it('is described, measured, looked up, rechecked and printed by its letters', async () => {
    const folder = temporaryFolder()
    const at = (name: string): string => join(folder, name)
    const tablepace = programOn(at('store.db'))
    const said = async (...args: string[]): Promise<string> => {
      const { stdout, stderr, exitCode } = await tablepace.run(...args)
      expect([args, exitCode, stderr]).toEqual([args, 0, expect.any(String)])
      expect(`${stdout}${stderr}`).not.toMatch(A_NUMBER)
      return stdout
    }
    const told = async (...args: string[]): Promise<string> => {
      const { stdout, stderr, exitCode } = await tablepace.run(...args)
      expect([args, stdout, exitCode]).toEqual([args, '', expect.any(Number)])
      expect(exitCode).not.toBe(0)
      return stderr
    }
    await said('machine', 'add', 'Mill', '--units', 'in', '--spindle', '115,320')
    expect(await said('axis', 'add', 'X', '--travel', '20in', '--dial', 'a..D')).toContain(
      'dial A..D, marks A B C D, stepped',
    )

    // The blank sheet holds the letters and reads them back.
    await said('sheet', '--travel', '4in', '--to', at('sheet.csv'))
    const blank = readFileSync(at('sheet.csv'), 'utf8')
    let row = 0
    const filled = blank.replace(
      /^([A-D]),(plus|minus),4in,,$/gm,
      (_, letter: keyof typeof FEEDS, way: string) => {
        const timeS = (60 * 4) / FEEDS[letter] + OFF_S[row++ % OFF_S.length]!
        return `${row % 2 === 0 ? letter : letter.toLowerCase()},${way},4in,${timeS.toFixed(2)},`
      },
    )
    expect(row).toBe(24)
    writeFileSync(at('sheet.csv'), filled)
    expect(await said('traverse', '--from', at('sheet.csv'))).toMatch(/^\w+ +D +\+ /m)
    expect(await said('fit')).toMatch(/^ +C +7\.\d+ /m)

    expect(await said('dial', '8in/min')).toMatch(/set the dial to C\n[\s\S]*nearest mark C: /)
    expect(await said('feed', 'b')).toMatch(/^Dial B gives 3\.9|^Dial B gives 4\.0/)
    expect(await tablepace.json('feed', 'C')).toMatchObject({ dial: 3, label: 'C' })
    expect(await tablepace.json('dial', '8in/min')).toMatchObject({
      dial: { value: 3, label: 'C' },
      nearestMark: { dial: 3, label: 'C' },
    })
    expect(await told('dial', '40in/min')).toContain('The nearest mark is D,')
    expect(await told('feed', '3')).toContain('"3" is not a letter, and this dial carries letters.')
    expect(await told('feed', 'E')).toContain('Dial E lies outside what was measured on Mill X: dial A to D.')
    expect(
      await told('traverse', '--dial', 'E', '--distance', '4in', '--time', '30', '--direction', '+'),
    ).toMatch(/Dial E is outside the dial of axis X, which goes from A to D\.\n +Give a letter between/)

    expect(await said('explain', 'c')).toMatch(/^Dial C gives[\s\S]*^\w+ +C +\+ /m)
    expect(await said('recheck', '--plan', '--within', '3', '--reason', 'gibs')).toMatch(
      /dial [A-D]: \d runs/,
    )
    expect(await tablepace.json('recheck', '--plan', '--within', '3', '--reason', 'gibs')).toMatchObject({
      plan: expect.arrayContaining([expect.objectContaining({ dial: 4, label: 'D' })]),
    })
    await said('advise', '--within', '0.5', '--stopwatch')
    await said('advise', '--feed', '8in/min', '--within', '0.5', '--stopwatch')
    await said('compare', '--by', 'direction')
    await said('history')
    await said('runs')
    await said('plot', 'curve')

    await said('export', '--format', 'card', '--to', at('card.html'))
    const card = readFileSync(at('card.html'), 'utf8')
    expect(card).toContain('measured dial A to D')
    expect(card).toMatch(/<td>C ± [\d.]+ %<\/td>/)
    expect(card).not.toMatch(A_NUMBER)
    await said('export', '--format', 'csv', '--to', at('tables.csv'))
    expect(readFileSync(at('tables.csv'), 'utf8')).toMatch(/^Mill,X,plus,1,mark,C,/m)
    expect(await said('export', '--format', 'markdown', '--to', '-')).toMatch(/^\| C \| /m)
    await said('plot', 'curve', '--to', at('curve.svg'))
    expect(readFileSync(at('curve.svg'), 'utf8')).toMatch(/at dial A to [\d.]+ in\/min at dial D/)

    // Another store takes the axis in as it is.
    await said('export', '--format', 'json', '--to', at('tables.json'))
    const other = programOn(at('other.db'))
    expect((await other.run('import', at('tables.json'))).exitCode).toBe(0)
    expect((await other.run('feed', 'C')).stdout).toMatch(/^Dial C gives/)
  })

  it('takes the letters of a dial whose letters were numbered, and keeps its runs', async () => {
    const tablepace = programOn(join(temporaryFolder(), 'store.db'))
    await tablepace.json('machine', 'add', 'Mill', '--units', 'mm')
    await tablepace.json(
      'axis',
      'add',
      'X',
      '--travel',
      '400mm',
      '--dial',
      '1..4',
      '--marks',
      '1,2,3,4',
      '--stepped',
    )
    await tablepace.json('traverse', '--dial', '3', '--distance', '100mm', '--time', '30', '--direction', '+')
    await tablepace.json('axis', 'change', 'X', '--dial', 'A..D')
    expect((await tablepace.run('runs')).stdout).toMatch(/^\w+ +C +\+ /m)

    await tablepace.json('axis', 'add', 'Y', '--travel', '400mm', '--dial', '0..10')
    const half = [
      'traverse',
      '--axis',
      'Y',
      '--dial',
      '2.5',
      '--distance',
      '100mm',
      '--time',
      '30',
      '--direction',
      '+',
    ]
    await tablepace.json(...half)
    expect((await tablepace.run('axis', 'change', 'Y', '--dial', 'A..D')).stderr).toContain(
      'Axis Y has runs at 2.5, which stands for no letter',
    )
    expect((await tablepace.run('axis', 'change', 'X', '--continuous')).stderr).toContain(
      'nothing lies between the letters of its dial',
    )
  })
})
