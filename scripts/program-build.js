import { readFileSync } from 'node:fs'

const { dependencies } = JSON.parse(readFileSync(new URL('../package.json', import.meta.url), 'utf8'))

/**
 * Packages that go into the program's file: those that exist as ES modules alone, and those that a command needs much
 * of. To find, read and compile the hundred files of zod takes a tenth of a second of every start that needs them; in
 * the program's file only the parts that are used are kept, and they are compiled once (`require-compiled.ts`). Of
 * better-sqlite3 the binary alone stays where it is.
 */
const BUNDLED =
  /^(better-sqlite3|commander|env-paths|d3-.*|zod|pure-rand|simple-statistics|jstat|csv-parse|csv-stringify|fflate|uqr)$/

const external = Object.keys(dependencies).filter((name) => !BUNDLED.test(name))

/** better-sqlite3 looks for its binary beside its own files, which are in the package and not in the program's file. */
const binaryOfPackage = {
  name: 'binary-of-package',
  setup: (build) =>
    build.onLoad({ filter: /better-sqlite3.lib.binding\.js$/ }, ({ path }) => ({
      contents: readFileSync(path, 'utf8').replaceAll(
        '__dirname',
        "path.dirname(require.resolve('better-sqlite3'))",
      ),
    })),
}

/** CommonJS, and where a source asks for the address of its module, that of the file it lies in. */
const COMMONJS = {
  bundle: true,
  format: 'cjs',
  platform: 'node',
  target: 'node22',
  define: { 'import.meta.url': 'moduleUrl' },
  // All packages that stay outside can be required; code kept by `requireCompiled` can import nothing without a warning.
  supported: { 'dynamic-import': false },
  banner: { js: "const moduleUrl = require('node:url').pathToFileURL(__filename).href;" },
  logLevel: 'warning',
}

/**
 * How the entry is bundled. Not as a module: those take longer to load, and a module that imports `node:fs` makes Node
 * load all that `node:fs` could ever lead to, which cost a lookup about a tenth of its time.
 */
export const ENTRY_BUILD = {
  ...COMMONJS,
  entryPoints: { tablepace: 'src/cli/main.ts' },
}

/**
 * How the program is bundled: into one CommonJS file, and the lookups alone into another. Node finds, reads and joins
 * one file in less time than the same program in modules, and what no command asks for in it is never run.
 */
export const PROGRAM_BUILD = {
  ...COMMONJS,
  outExtension: { '.js': '.cjs' },
  // Names stay, for the reports of TABLEPACE_DEBUG.
  minifySyntax: true,
  minifyWhitespace: true,
  external: external.flatMap((name) => [name, `${name}/*`]),
  plugins: [binaryOfPackage],
  logOverride: { 'require-resolve-not-external': 'silent' },
  entryPoints: { program: 'src/cli/program.ts' },
}

/** The lookups have no command that is a program of its own, so the parser need not load what starts one. */
export const LOOKUPS_BUILD = {
  ...PROGRAM_BUILD,
  entryPoints: { lookups: 'src/cli/lookups.ts' },
  alias: { 'node:child_process': './src/cli/no-child-process.ts' },
}
