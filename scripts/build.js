// Bundles the program into dist/: one small entry that answers lookups fast,
// and chunks for the heavier commands, loaded only when they are asked for; and the page into dist/page/.
import { chmod, copyFile, rm } from 'node:fs/promises'
import { build } from 'esbuild'

await rm('dist', { recursive: true, force: true })
await build({
  entryPoints: { tablepace: 'src/cli/main.ts', library: 'src/library/index.ts' },
  outdir: 'dist',
  bundle: true,
  splitting: true,
  format: 'esm',
  platform: 'node',
  target: 'node22',
  packages: 'external',
  chunkNames: 'chunks/[name]-[hash]',
  logLevel: 'warning',
})
await chmod('dist/tablepace.js', 0o755)
await build({
  entryPoints: { page: 'src/page/client/main.tsx', style: 'src/page/client/style.css' },
  outdir: 'dist/page',
  bundle: true,
  minify: true,
  format: 'esm',
  platform: 'browser',
  target: ['es2022'],
  jsx: 'automatic',
  jsxImportSource: 'preact',
  logLevel: 'warning',
})
for (const name of ['index.html', 'icon.svg']) await copyFile(`src/page/client/${name}`, `dist/page/${name}`)
