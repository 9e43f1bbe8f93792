import type { Command } from 'commander'
import type { GlobalOptions } from '../../context.js'

const AFTER_HELP = `
Your own rows go into a file cutting-data.json in your data folder (the command says where), in the shape of
calibration/cutting-data.json; what a row says replaces what the program has for that material.

Examples
  tablepace materials
  tablepace materials "grey cast iron"
`

/** `materials` lists the starting values for cuts with their sources. */
export function registerMaterials(program: Command): void {
  program
    .command('materials [name]')
    .description('starting values for cuts, with their sources')
    .addHelpText('after', AFTER_HELP)
    .action(async (name: string | undefined, _: unknown, command: Command) => {
      const { materials } = await import('../../cut/materials.js')
      await materials(name, command.optsWithGlobals<GlobalOptions>())
    })
}
