import { Command } from 'commander'
import { PRINTED_WIDTH } from '../text/index.js'
import { registerLookups } from './commands/lookup.js'
import { printHelp } from './terminal/terminal.js'

const AFTER_HELP = `
Numbers carry a unit: 7.2in/min 180mm/min 6in 150mm 28.4s, on a rotary axis
90deg 30deg/min 0.5rev/min. A number without one is in the axis' own unit.

Exit codes
  0  done
  1  these data cannot give the answer (no motion found, feed out of range, too few runs)
  2  wrong use (unknown option, unreadable quantity, unknown machine)
  3  recheck: the table has moved
  4  recheck: not decided yet
  5  a device, file or store failed

A first calibration
  tablepace machine add Bench --units in
  tablepace axis add X --travel 20in --dial 0..10 --marks 1,2,3,4,5,6,7,8,9,10
  tablepace calibrate --port /dev/ttyUSB0
  tablepace calibrate --stopwatch
  tablepace dial 7in/min
`

/** The program with the options that stand before or after every command, and without commands. */
export function bareProgram(): Command {
  return (
    new Command('tablepace')
      .description('find out what each setting of a power-feed dial really does')
      .option('--store <file>', 'the store file (default: TABLEPACE_STORE, else in your data folder)')
      .option('--json', 'print one JSON document on stdout')
      .addHelpText('after', AFTER_HELP)
      .exitOverride()
      // Errors are told in one place, with a hint and an exit code of their own.
      .configureOutput({ outputError: () => {}, writeOut: printHelp, getOutHelpWidth: () => PRINTED_WIDTH })
  )
}

/** The program for a lookup alone: `dial` and `feed`, which are asked at the machine and have to be quick. */
export function lookupProgram(): Command {
  const program = bareProgram()
  registerLookups(program)
  return program
}
