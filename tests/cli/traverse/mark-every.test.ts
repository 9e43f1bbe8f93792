import { Command } from 'commander'
import { expect, it } from 'vitest'
import { registerCalibrate } from '../../../src/cli/commands/calibrate.js'
import { registerRecheck } from '../../../src/cli/commands/recheck.js'
import { registerTraverse } from '../../../src/cli/commands/traverse.js'
import { betweenMarks, entryOfPresses } from '../../../src/cli/traverse/from-stopwatch.js'
import type { Axis } from '../../../src/store/index.js'

const AXIS = { unit: 'in' } as Axis
const TIMING = [registerRecheck, registerCalibrate, registerTraverse]

/** What a command makes of these words, before it does anything. */
function optionsOf(register: (program: Command) => void, words: readonly string[]): { markEvery?: string } {
  const program = new Command()
  register(program)
  const [command] = program.commands
  command!.parseOptions([...words])
  return command!.opts()
}

it('the distance between marks is told alike to a recheck, a calibration and a traverse', () => {
  for (const register of TIMING) {
    const timed = ['--stopwatch', '--distance', '2in']
    expect(betweenMarks(optionsOf(register, timed), AXIS)).toBeNull()
    expect(betweenMarks(optionsOf(register, [...timed, '--mark-every', '0.5in']), AXIS)).toBeCloseTo(12.7, 12)
    expect(betweenMarks(optionsOf(register, [...timed, '--mark-every', '10mm']), AXIS)).toBe(10)
    expect(() => betweenMarks(optionsOf(register, [...timed, '--mark-every', 'often']), AXIS)).toThrow(
      /--mark-every/,
    )
  }
})

it('presses on the way of a rechecked run become readings at those marks', () => {
  const everyMm = betweenMarks(optionsOf(registerRecheck, ['--stopwatch', '--mark-every', '0.5in']), AXIS)
  const pressed = { dial: 5, direction: -1 as const, distanceMm: 50.8, durationS: 20.2, everyMm }
  const { marks } = entryOfPresses({ ...pressed, marksS: [5, 10, 15] }, AXIS)
  expect((marks as { readings: unknown }).readings).toEqual([
    [0, 0],
    [5, -12.7],
    [10, -25.4],
    [15, expect.closeTo(-38.1, 12)],
    [20.2, -50.8],
  ])
})
