import { type Command, Option } from 'commander'
import { withAxis } from '../../context.js'
import type { CutOptions } from '../../cut/options.js'
import { loadOption } from '../../load.js'
import { withAxisOptions, withDirectionOption } from '../../options.js'

const AFTER_HELP = `
Every figure is a starting point: begin below it, listen, and watch the chip. Your machine's manual and the cutter
maker's data come first. A bare number is in the machine's own units; a cutting speed in ft/min or m/min.
Kinds of cutter: end mill, face mill, fly cutter, side mill, slitting saw, drill, boring, turning. The chip load of a
drill, of boring and of turning is the feed a turn, and their teeth need not be counted; the diameter is that of the drill,
the hole or the work. For a side mill or a saw the width is that of the groove, the depth how far the cutter goes in.

To find out how hard the feed drive pushes (--push): with the spindle off, hook a spring scale between the table and
something fixed, feed away from it at a slow setting, and read the pull at which the feed slows down. Stop at once then;
keep your fingers clear and a hand at the lever.

Examples
  tablepace cut --diameter 0.5in --teeth 4 --material "low-carbon steel" --cutter-material hss
  tablepace cut --cutter "face mill" --diameter 3in --teeth 5 --material aluminium --cutter-material carbide
  tablepace cut --diameter 12mm --teeth 2 --speed 27m/min --chip-load 0.06mm --width 2mm --depth 6mm
  tablepace cut --cutter drill --diameter 0.5in --material brass --cutter-material hss
`

/** `cut` works from the cutter to the spindle speed, the feed and the dial setting. */
export function registerCut(program: Command): void {
  withDirectionOption(
    withAxisOptions(
      program.command('cut').description('from cutter and material to spindle speed, feed and dial setting'),
    ),
  )
    .requiredOption('--diameter <length>', 'diameter of the cutter')
    .option('--teeth <n>', 'how many teeth it has')
    .option('--cutter <kind>', 'kind of cutter, such as "face mill"', 'end mill')
    .addOption(
      new Option('--pass <kind>', 'roughing or finishing')
        .choices(['roughing', 'finishing'])
        .default('roughing'),
    )
    .option('--material <name>', 'work material; `tablepace materials` lists them')
    .addOption(
      new Option('--cutter-material <kind>', 'what the cutter is made of').choices(['hss', 'carbide']),
    )
    .option('--speed <speed>', 'your own cutting speed, such as 90ft/min or 27m/min')
    .option('--chip-load <length>', 'your own chip load a tooth, such as 0.003in or 0.08mm')
    .option('--width <length>', 'width of the cut across the cutter')
    .option('--depth <length>', 'depth of the cut along the cutter')
    .option('--stick-out <length>', 'how far the cutter sticks out of the holder')
    .option('--corner-radius <length>', 'corner or insert radius, for the feed marks on a floor')
    .option('--specific-energy <energy>', 'your own, such as 2.7Ws/mm3 or 1hpmin/in3')
    .option('--motor <power>', "the spindle motor's power (default: the machine's)")
    .option('--push <force>', "how hard the feed drive pushes, such as 60lbf or 250N (default: the axis's)")
    .addOption(
      new Option('--work-side <side>', 'where the work lies from the cutter, seen from the front').choices([
        'front',
        'back',
        'left',
        'right',
      ]),
    )
    .addOption(
      new Option('--rotation <way>', 'which way the spindle turns, seen from above')
        .choices(['cw', 'ccw'])
        .default('cw'),
    )
    .addOption(loadOption())
    .addHelpText('after', AFTER_HELP)
    .action((_: unknown, command: Command) => {
      const options = command.optsWithGlobals<CutOptions>()
      return withAxis(options, 'read', async (store, target) => {
        const { cut } = await import('../../cut/cut.js')
        await cut(store, target, options)
      })
    })
}
