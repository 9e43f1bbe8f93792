import type { Command } from 'commander'

/** `demo` runs the whole main job on a simulated mill, through the same code as a real one. */
export function registerDemo(program: Command): void {
  program
    .command('demo')
    .description('the whole job on a simulated mill: record, fit, look up, export, compare')
    .option('--seed <n>', 'another number makes another simulated day', '1')
    .option('--procedure <name>', 'procedure to follow', 'standard')
    .action(async (_: unknown, command: Command) => {
      const { runDemo } = await import('../demo/run-demo.js')
      await runDemo(command.optsWithGlobals())
    })
}
