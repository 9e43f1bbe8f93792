import { Argument, type Command, Option } from 'commander'
import { onlyMachine, withStore } from '../../context.js'
import type { NoteOptions } from '../../cut/note.js'
import { withAxisOptions } from '../../options.js'

const AFTER_HELP = `
The newest good note is where \`tablepace cut\` starts from for the same kind of cutter, of about the same size, in the
same material on the same machine; what went wrong is shown beside it, with its date.

Examples
  tablepace cut-note good --diameter 0.5in --teeth 4 --material "mild steel" --cutter-material hss --rpm 620 --feed 5in/min
  tablepace cut-note chatter --diameter 12mm --teeth 2 --material brass --cutter-material hss --rpm 1180 --feed 150mm/min
`

/** `cut-note` keeps what happened at a cut. */
export function registerCutNote(program: Command): void {
  withAxisOptions(program.command('cut-note').description('note how a cut went, for the next one like it'))
    .addArgument(
      new Argument('<outcome>', 'what happened').choices([
        'good',
        'chatter',
        'rough',
        'rubbed',
        'slowed',
        'broke',
      ]),
    )
    .option('--cutter <kind>', 'kind of cutter, such as "face mill"', 'end mill')
    .addOption(
      new Option('--pass <kind>', 'roughing or finishing')
        .choices(['roughing', 'finishing'])
        .default('roughing'),
    )
    .requiredOption('--diameter <length>', 'diameter of the cutter')
    .option('--teeth <n>', 'how many teeth it has')
    .requiredOption('--material <name>', 'work material')
    .addOption(
      new Option('--cutter-material <kind>', 'what the cutter is made of')
        .choices(['hss', 'carbide'])
        .makeOptionMandatory(),
    )
    .requiredOption('--rpm <n>', 'spindle speed that was set')
    .requiredOption('--feed <feed>', 'feed that it was cut with')
    .option('--width <length>', 'width of the cut')
    .option('--depth <length>', 'depth of the cut')
    .option('--finish <height>', 'measured roughness (Ra), such as 1.6um or 63uin')
    .option('--note <text>', 'anything worth noting')
    .addHelpText('after', AFTER_HELP)
    .action((outcome: string, _: unknown, command: Command) => {
      const options = command.optsWithGlobals<NoteOptions>()
      return withStore(options, 'write', async (store) => {
        // A note belongs to the machine; the axis may be named, but need not be.
        const machine =
          options.axis === undefined
            ? onlyMachine(store, options.machine)
            : store.axes.resolve(options).machine
        const { note } = await import('../../cut/note.js')
        const { CUT_OUTCOMES } = await import('../../../store/index.js')
        const named = CUT_OUTCOMES.find((one) => one === outcome)
        if (named !== undefined) await note(store, machine, named, options)
      })
    })
}
