import { readFileSync } from 'node:fs'

const { dependencies } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8'))

/** Packages that go into the program's file: the command line's parser, and those that exist as ES modules alone. */
const BUNDLED = /^(commander|env-paths|d3-.*)$/

const external = Object.keys(dependencies).filter((name) => !BUNDLED.test(name))

/**
 * How the program is bundled: into one CommonJS file, and the lookups alone into another. Node finds, reads and joins
 * one file in less time than the same program in modules, and what no command asks for in it is never run.
 */
export const PROGRAM_BUILD = {
  entryPoints: { program: 'src/cli/program.ts', lookups: 'src/cli/lookups.ts' },
  outExtension: { '.js': '.cjs' },
  bundle: true,
  // Names stay, for the reports of TABLEPACE_DEBUG.
  minifySyntax: true,
  minifyWhitespace: true,
  format: 'cjs',
  platform: 'node',
  target: 'node22',
  external: external.flatMap((name) => [name, `${name}/*`]),
  define: { 'import.meta.url': 'moduleUrl' },
  banner: { js: "const moduleUrl = require('node:url').pathToFileURL(__filename).href;" },
  logLevel: 'warning',
}
