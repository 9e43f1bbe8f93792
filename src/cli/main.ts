#!/usr/bin/env node
// The first thing an old Node meets: it can read this file, says what it lacks, and loads nothing that would crash it.
// What is here is loaded at every start, so everything else comes by import().

/** Node's major number from which the database driver runs; `engines` in package.json says the same. */
const LEAST_NODE = 22

const args = process.argv.slice(2)
if (Number.parseInt(process.versions.node, 10) >= LEAST_NODE) {
  const { run } = await import('./run.js')
  process.exitCode = await run(args)
} else {
  const { runUnderOwnNode } = await import('./own-node.js')
  process.exitCode = await runUnderOwnNode(import.meta.url, args, LEAST_NODE)
}
