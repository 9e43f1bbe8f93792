import type { Command } from 'commander'
import type { GlobalOptions } from '../context.js'
import { unitOption } from '../options.js'
import type { LearnOptions } from '../readout/learn-options.js'
import type { WatchOptions } from '../readout/watch.js'
import { textTable } from '../render/text-table.js'
import { printJson, printResult } from '../terminal/terminal.js'

const LEARN_HELP = `
It only listens; nothing is written to the port. On a terminal it asks for what it needs; in a script say it all:
  tablepace readout learn --port /dev/ttyUSB0 --axis-moves-now 10 --known-move 0.1in --save-as bench --yes
and move the axis alone by that length once it says so.
`

/** `readout`: what can be listened to, how its lines are made, and what it sends now. */
export function registerReadout(program: Command): void {
  const readout = program
    .command('readout')
    .description('position readouts: ports, profiles, learning a new one')
  readout
    .command('ports')
    .description('list serial ports, and what to do about those that cannot be used')
    .action(async (_: unknown, command: Command) => {
      const { showPorts } = await import('../readout/ports.js')
      await showPorts(command.optsWithGlobals<GlobalOptions>())
    })
  readout
    .command('learn')
    .description('listen to a readout, work out its format and keep it as a profile')
    .requiredOption('--port <path>', 'the serial port, such as /dev/ttyUSB0 or COM3')
    .option('--baud <n>', 'the baud rate, where it is known')
    .option('--framing <form>', 'data bits, parity, stop bits such as 8N1 or 7E1, where they are known')
    .option('--machine <name>', 'the machine the readout is on; lengths without a unit are in its units')
    .option('--axis <name>', 'the axis that the profile is for (default: any)')
    .option('--label <text>', 'the axis is the number with this label in the lines')
    .option('--column <n>', 'the axis is this number of the line, counted from 1')
    .option(
      '--axis-moves-now <duration>',
      'you will move the axis within this time, from rest to rest; no questions',
    )
    .option('--known-move <length>', 'the length of that move, such as 0.1in: shows what a number is worth')
    .option('--known-move-error <length>', 'how far that length may be off (default: 1 %)')
    .option('--save-as <name>', 'keep the profile under this name')
    .option('--replace', 'replace your own profile of the same name')
    .option('--yes', 'save without asking')
    .addHelpText('after', LEARN_HELP)
    .action(async (_: unknown, command: Command) => {
      const { learnReadout } = await import('../readout/learn.js')
      await learnReadout(command.optsWithGlobals<LearnOptions>())
    })
  readout
    .command('watch')
    .description('show position, speed, refresh rate and lost lines live')
    .requiredOption('--port <path>', 'the serial port, such as /dev/ttyUSB0 or COM3')
    .option('--baud <n>', "baud rate of the port (default: the profile's, else 9600)")
    .option('--readout <profile>', 'readout profile by name or file; without it the format is worked out')
    .option('--axis <name>', 'the axis by its label in the lines', 'X')
    .addOption(
      unitOption('--unit <unit>', "unit to show, and of bare numbers in the lines (default: the machine's)"),
    )
    .option('--machine <name>', 'the machine the readout is on; only needed when units differ')
    .option('--count-length <length>', 'the numbers are counts of this length, such as 0.005mm')
    .option('--for <duration>', 'stop after this long')
    .action(async (_: unknown, command: Command) => {
      const { watchReadout } = await import('../readout/watch.js')
      await watchReadout(command.optsWithGlobals<WatchOptions>())
    })
  readout
    .command('profiles')
    .description('list the readout profiles: built in, and your own')
    .action((_: unknown, command: Command) => profiles(command.optsWithGlobals()))
}

async function profiles(options: GlobalOptions): Promise<void> {
  const { listReadoutProfiles, listUserProfiles } = await import('../../ingest/index.js')
  const known = [
    ...(await listReadoutProfiles()).map((profile) => ({ ...profile, own: false })),
    ...(await listUserProfiles()).map((profile) => ({ ...profile, own: true })),
  ]
  if (options.json) return printJson({ profiles: known })
  printResult(
    textTable(
      ['profile', 'a line looks like', 'what it is'].map((title) => ({ title, align: 'left' as const })),
      known.map(({ name, examples, description, own }) => [
        name,
        examples[0] ?? '',
        own ? `${description} (your own)` : description,
      ]),
    ),
  )
}
