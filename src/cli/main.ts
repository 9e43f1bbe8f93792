#!/usr/bin/env node
// The first thing an old Node meets: it can read this file, says what it lacks, and loads nothing that would crash it.
// What is here is loaded at every start, so everything else is loaded where it is needed.
import module from 'node:module'
import { asksLookup } from './asks-lookup.js'

/** Node's major number from which the database driver runs; `engines` in package.json says the same. */
const LEAST_NODE = 22

/**
 * Keeps what V8 made of the program for the next start, a fifth of what a lookup takes. The folder is the user's own,
 * because what lies in it is run. Node does without where it cannot write there.
 */
function keepCompiled(): void {
  const { XDG_CACHE_HOME, LOCALAPPDATA, HOME } = process.env
  const ofHome = HOME && `${HOME}/${process.platform === 'darwin' ? 'Library/Caches' : '.cache'}`
  const folder = process.platform === 'win32' ? LOCALAPPDATA : XDG_CACHE_HOME || ofHome
  // From Node 22.8 on.
  if (folder) module.enableCompileCache?.(`${folder}/tablepace`)
}

/** Runs one of the two programs that the build makes: a lookup needs a fifth of the whole, and loads in less time. */
function runBuilt(args: readonly string[]): Promise<number> {
  const require = module.createRequire(import.meta.url)
  if (asksLookup(args)) return (require('./lookups.cjs') as typeof import('./lookups.js')).runLookup(args)
  return (require('./program.cjs') as typeof import('./program.js')).runProgram(args)
}

const args = process.argv.slice(2)
if (Number.parseInt(process.versions.node, 10) >= LEAST_NODE) {
  keepCompiled()
  process.exitCode = await runBuilt(args)
} else {
  const { runUnderOwnNode } = await import('./own-node.js')
  process.exitCode = await runUnderOwnNode(import.meta.url, args, LEAST_NODE)
}
