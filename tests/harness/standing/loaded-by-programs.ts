import { tmpdir } from 'node:os'
import { dirname, join } from 'node:path'

/** The folder of the harness, above this one. */
const HARNESS = dirname(import.meta.dirname)
/** What programs of their own load, as paths below it. */
const SOURCES = ['live/played-clock', 'standing/standing-process'] as const

/** Makes JavaScript of those sources in the folder of the run: leaving out their types would cost every start a fifth of a second. */
export async function makeLoadedByPrograms(): Promise<void> {
  const { build } = await import('esbuild')
  await build({
    entryPoints: SOURCES.map((name) => join(HARNESS, `${name}.ts`)),
    outbase: HARNESS,
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
