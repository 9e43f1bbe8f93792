#!/usr/bin/env node
// The first thing an old Node meets: it can read this file, says what it lacks, and loads nothing that would crash it.
// What is here is loaded at every start, so everything else is loaded where it is needed.
import module from 'node:module'
import { fileURLToPath } from 'node:url'
import { lookupAsked, partAsked } from './command-asked.js'
import { requireCompiled } from './require-compiled.js'

/**
 * Node's major number from which on the database driver runs (source: its `engines`; those in package.json say the
 * same).
 */
const LEAST_NODE = 22

/** Where compiled code is kept for the next start: a folder of the user's own, because what lies in it is run. */
function cacheFolder(): string | null {
  const { XDG_CACHE_HOME, LOCALAPPDATA, HOME } = process.env
  const ofHome = HOME && `${HOME}/${process.platform === 'darwin' ? 'Library/Caches' : '.cache'}`
  const folder = process.platform === 'win32' ? LOCALAPPDATA : XDG_CACHE_HOME || ofHome
  return folder ? `${folder}/tablepace` : null
}

/** The verdicts of a recheck, which is answered like any other command that ends with 0 (see `--help`). */
const VERDICTS = [3, 4]

/** Runs one of the two programs that the build makes: a lookup needs a fifth of the whole, and has to be quick. */
async function runBuilt(args: readonly string[]): Promise<number> {
  const cache = cacheFolder()
  // From Node 22.8 on; without it, and where the folder cannot be written, the program only starts more slowly.
  if (cache) module.enableCompileCache?.(cache)
  const lookup = lookupAsked(args)
  const file = fileURLToPath(new URL(lookup === null ? 'program.cjs' : 'lookups.cjs', import.meta.url))
  const code = cache && `${cache}/${lookup ?? partAsked(args)}-${process.version}-${process.arch}`
  const { exported, keep } = requireCompiled(file, code)
  const exitCode = await (lookup === null
    ? (exported as typeof import('./program.js')).runProgram(args)
    : (exported as typeof import('./lookups.js')).runLookup(args))
  // A command that was refused ran but a part of what the next one needs.
  if (exitCode === 0 || VERDICTS.includes(exitCode)) keep()
  return exitCode
}

async function start(args: readonly string[]): Promise<number> {
  if (Number.parseInt(process.versions.node, 10) >= LEAST_NODE) return runBuilt(args)
  const { runUnderOwnNode } = await import('./own-node.js')
  return runUnderOwnNode(import.meta.url, args, LEAST_NODE)
}

/** The end of this start, for one who loads the entry and does not start it as a program. */
export const ended = start(process.argv.slice(2)).then((exitCode) => {
  process.exitCode = exitCode
})
