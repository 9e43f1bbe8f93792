import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'

/** What is measured without a process around it, as one module: bundled from the sources as the program is. */
const ENTRY = `
export { LineAssembler } from './src/ingest/line-assembler.ts'
export { SampleReader } from './src/ingest/sample-reader.ts'
export { steadyFeed } from './src/regression/index.ts'
export * from './src/simulation/index.ts'
`

/** Bundles the pieces into `folder` (a file URL) and loads them. */
export async function loadPieces(folder) {
  const outfile = new URL('pieces.mjs', folder)
  await build({
    stdin: { contents: ENTRY, resolveDir: fileURLToPath(new URL('../..', import.meta.url)), loader: 'ts' },
    outfile: fileURLToPath(outfile),
    bundle: true,
    format: 'esm',
    platform: 'node',
    target: 'node20',
    packages: 'external',
    logLevel: 'warning',
  })
  return import(outfile.href)
}
