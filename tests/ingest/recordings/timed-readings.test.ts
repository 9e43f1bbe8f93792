import { writeFileSync } from 'node:fs'
import { join } from 'node:path'
import { expect, test } from 'vitest'
import { DataError } from '../../../src/errors/index.js'
import { openRecording, type TimedReadings } from '../../../src/ingest/index.js'
import type { LengthUnit } from '../../../src/units/index.js'
import { temporaryFolder } from '../../harness/program.js'

async function read(text: string, unit: LengthUnit = 'in'): Promise<TimedReadings> {
  const path = join(temporaryFolder(), 'readings.csv')
  writeFileSync(path, text)
  const opened = await openRecording(path, unit)
  if (opened.kind !== 'readings') throw new Error(`read as ${opened.kind}`)
  return opened
}

test('rows of one run become one traverse, in whatever order the runs stand, with how finely all were read', async () => {
  const { runs } = await read(
    [
      'dial,direction,run,time,position_in,note',
      '3,+,1,0:10.5,1.250,',
      '4,-,2,28.4s,7.5,lever late',
      ',,1,1:10.50,3.250,',
      ',,2,0:58.4,2.5,',
      ',,1,2:10.5,5.25,',
      '',
    ].join('\n'),
  )
  expect(runs).toHaveLength(2)
  expect(runs[0]).toMatchObject({ dial: 3, direction: 1, note: '', timeLastDigitS: 0.01 })
  expect(runs[0]!.readings.map(({ timeS }) => timeS)).toEqual([10.5, 70.5, 130.5])
  expect(runs[0]!.readings[1]!.positionMm).toBeCloseTo(3.25 * 25.4, 9)
  expect(runs[0]!.positionLastDigitMm).toBeCloseTo(0.0254, 9)
  expect(runs[1]).toMatchObject({ dial: 4, direction: -1, note: 'lever late' })
  expect(runs[1]!.readings.map(({ positionMm }) => positionMm)).toEqual([190.5, 63.5])
})

test('positions without decimals are lines; a column without a unit is in that of the machine, a unit may stand beside', async () => {
  const { runs } = await read(
    'dial;direction;run;time;position\n3;plus;a;0;1\n3;plus;a;30;2\n3;plus;a;60;76.2mm\n',
  )
  expect(runs[0]!.readings.map(({ positionMm }) => positionMm)).toEqual([25.4, 50.8, 76.2])
  const lines = await read('dial,direction,run,time,position_mm\nrapid,+,1,0,0\nrapid,+,1,5,100\n')
  expect(lines.runs[0]).toMatchObject({ dial: 'rapid', positionLastDigitMm: 0, timeLastDigitS: 1 })
})

test('an angle that begins again after a full turn goes on, and one that only falls is refused', async () => {
  const header = 'dial,direction,run,time,position_deg\n'
  const turning = `${header}3,+,1,0,350\n3,+,1,20,20\n3,+,1,40,50\n4,-,2,0,10\n4,-,2,20,340\n`
  const { runs } = await read(turning, 'deg')
  expect(runs.map(({ readings }) => readings.map(({ positionMm }) => positionMm))).toEqual([
    [350, 380, 410],
    [10, -20],
  ])
  await expect(read(`${header}3,+,1,0,200\n3,+,1,20,20\n`, 'deg')).rejects.toThrow(
    /does not move in direction \+/,
  )
})

const HEADER = 'dial,direction,run,time,position_mm\n'
test.each([
  ['3,+,1,0,0\n', /row 2: a single reading gives no feed/],
  ['3,+,1,0,0\n3,+,1,20,50\n3,+,1,20,60\n', /row 4: the time is not after/],
  ['3,+,1,0,0\n3,+,1,20,-50\n', /row 3: the position does not move in direction \+/],
  ['3,+,1,0,0\n4,+,1,20,50\n', /row 3: run 1 began at another dial setting/],
  ['3,+,1,0,0\n3,+,1,1:75,50\n', /row 3, time: "1:75" is not a time/],
  ['3,+,1,0,0\n3,+,1,20,abc\n', /row 3, position_mm/],
  ['x,+,1,0,0\n3,+,1,20,50\n', /row 2, dial/],
  ['3,sideways,1,0,0\n', /row 2, direction/],
  ['', /has a header but no readings/],
])('refuses what cannot be a traverse, naming the row: %j', async (rows, said) => {
  await expect(read(HEADER + rows)).rejects.toThrow(said)
  await expect(read(HEADER + rows)).rejects.toThrow(DataError)
})
