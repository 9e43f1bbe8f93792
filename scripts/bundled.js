import { rm } from 'node:fs/promises'
import { fileURLToPath, pathToFileURL } from 'node:url'
import { build } from 'esbuild'

const root = fileURLToPath(new URL('..', import.meta.url))

/** Bundles TypeScript of this project, given as text that re-exports it, and hands its exports to a script. */
export async function bundled(contents) {
  const outfile = `${root}node_modules/.cache/bundled-${process.pid}-${Math.random().toString(36).slice(2)}.mjs`
  await build({
    stdin: { contents, resolveDir: root, loader: 'ts' },
    outfile,
    bundle: true,
    format: 'esm',
    platform: 'node',
    packages: 'external',
    logLevel: 'warning',
  })
  const exported = await import(pathToFileURL(outfile).href)
  await rm(outfile)
  return exported
}
