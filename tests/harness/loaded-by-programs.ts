import { tmpdir } from 'node:os'
import { join } from 'node:path'

/** What programs of their own load, as paths below this folder. */
const SOURCES = ['live/played-clock', 'standing-process'] as const

/** Makes JavaScript of those sources in the folder of the run: leaving out their types would cost every start a fifth of a second. */
export async function makeLoadedByPrograms(): Promise<void> {
  const { build } = await import('esbuild')
  await build({
    entryPoints: SOURCES.map((name) => join(import.meta.dirname, `${name}.ts`)),
    outbase: import.meta.dirname,
    outdir: folder(),
    outExtension: { '.js': '.mjs' },
    bundle: true,
    platform: 'node',
    format: 'esm',
  })
}

/** Where the JavaScript of one of them is. */
export function loadedByPrograms(name: (typeof SOURCES)[number]): string {
  return join(folder(), `${name}.mjs`)
}

/** Below the folder of the run. */
function folder(): string {
  return join(tmpdir(), 'loaded-by-programs')
}
