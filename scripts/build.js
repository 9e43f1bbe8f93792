// Bundles the program into dist/: a small entry, which any Node can read, and the program itself; the library; the page
// into dist/page/; the library's types into dist/types/.
// With --changed it builds only where something that goes in, or something that came out, is not as at the last build.
import { execFileSync } from 'node:child_process'
import { createHash } from 'node:crypto'
import { chmod, copyFile, readdir, readFile, rm, stat, writeFile } from 'node:fs/promises'
import { fileURLToPath } from 'node:url'
import { build } from 'esbuild'
import { ENTRY_BUILD, LOOKUPS_BUILD, PROGRAM_BUILD } from './program-build.js'

const absWorkingDir = fileURLToPath(new URL('..', import.meta.url))
process.chdir(absWorkingDir)

/** Everything that decides what the build makes; the lock file stands for the tools. */
const INPUTS = [
  'src',
  'scripts/build.js',
  'scripts/program-build.js',
  'package.json',
  'package-lock.json',
  'tsconfig.json',
  'tsconfig.types.json',
]
/** Tells what the last build was made from and what it made. */
const STAMP = 'dist/.stamp'

const inputs = await contentHash(INPUTS)
const stamp = await readFile(STAMP, 'utf8').catch(() => '')
if (process.argv.includes('--changed') && stamp === `${inputs} ${await contentHash(['dist'])}\n`) {
  console.log('dist is what these sources make.')
} else {
  await buildAll()
  await writeFile(STAMP, `${inputs} ${await contentHash(['dist'])}\n`)
}

async function buildAll() {
  await rm('dist', { recursive: true, force: true })
  const kinds = [ENTRY_BUILD, PROGRAM_BUILD, LOOKUPS_BUILD]
  await Promise.all(kinds.map((kind) => build({ ...kind, absWorkingDir, outdir: 'dist' })))
  await chmod('dist/tablepace.js', 0o755)
  // The package is one of modules, as its library is; the program in it is not.
  await writeFile('dist/package.json', '{ "type": "commonjs" }\n')
  await build({
    absWorkingDir,
    entryPoints: { library: 'src/library/index.ts' },
    outExtension: { '.js': '.mjs' },
    outdir: 'dist',
    bundle: true,
    format: 'esm',
    platform: 'node',
    target: 'node22',
    packages: 'external',
    logLevel: 'warning',
  })
  await build({
    absWorkingDir,
    entryPoints: { page: 'src/page/client/main.tsx', style: 'src/page/client/style.css' },
    outdir: 'dist/page',
    bundle: true,
    // A view that is asked for seldom is a file of its own, got when it is opened.
    splitting: true,
    chunkNames: '[name]-[hash]',
    minify: true,
    format: 'esm',
    platform: 'browser',
    target: ['es2022'],
    jsx: 'automatic',
    jsxImportSource: 'preact',
    logLevel: 'warning',
  })
  for (const name of ['index.html', 'icon.svg'])
    await copyFile(`src/page/client/${name}`, `dist/page/${name}`)
  const compiler = fileURLToPath(new URL('bin/tsc', import.meta.resolve('typescript/package.json')))
  execFileSync(process.execPath, [compiler, '-p', 'tsconfig.types.json'], { stdio: 'inherit' })
  await writeFile('dist/types/package.json', '{ "type": "module" }\n')
}

/** One hash over names and contents of files, folders gone through; what is missing is left out. */
async function contentHash(paths) {
  const hash = createHash('sha256')
  for (const path of await filesOf(paths)) {
    const content = await readFile(path)
    hash.update(`${path}\0${content.length}\0`).update(content)
  }
  return hash.digest('hex')
}

async function filesOf(paths) {
  const found = []
  for (const path of paths) {
    const kind = await stat(path).catch(() => null)
    if (kind?.isFile()) found.push(path)
    if (!kind?.isDirectory()) continue
    for (const entry of await readdir(path, { recursive: true, withFileTypes: true }))
      if (entry.isFile()) found.push(`${entry.parentPath}/${entry.name}`)
  }
  return found.filter((path) => path !== STAMP).sort()
}
