import { readdirSync, readFileSync } from 'node:fs'
import { expect, test } from 'vitest'
import { buildProgram } from '../src/cli/program.js'
import { withoutComments } from './harness/without-comments.js'

/**
 * The command line alone may name commands and options: what stands elsewhere is read on the page too, by a person
 * without a terminal. Such texts say what is to be done, and `way()` leaves it to each face to say how.
 */
const FACES_WITH_COMMANDS = /^cli\//

const commands = buildProgram().commands.flatMap((command) => [command.name(), ...command.aliases()])
const COMMAND = new RegExp(`\\btablepace (${commands.join('|')})\\b`)
/** An option as it is typed; `'--ink'`, `var(--ink)` and `{ '--figures': … }` are properties of the page's style sheet. */
const OPTION = /(?<!ink\('|\bvar\(|\bstyle=\{\{ ')(?<=^|[\s('"`>])--[a-z]/
const QUOTED = /\\`[a-z]/

const sources = readdirSync('src', { recursive: true, encoding: 'utf8' }).filter((file) =>
  /\.tsx?$/.test(file),
)

test('the search finds commands and options', () => {
  expect(commands.length).toBeGreaterThan(20)
  expect(COMMAND.test('\'Make one with "tablepace fit".\'')).toBe(true)
  expect(OPTION.test("'Say which one with --machine NAME.'")).toBe(true)
  expect(OPTION.test("'--framing: that is none.'")).toBe(true)
  expect(OPTION.test("ink: 'var(--ink)'")).toBe(false)
  expect(OPTION.test("style={{ '--figures': 5 }}")).toBe(false)
  expect(COMMAND.test("'a file that tablepace exported'")).toBe(false)
})

test('no text but the command line names a command or an option', () => {
  const named = sources
    .filter((file) => !FACES_WITH_COMMANDS.test(file))
    .flatMap((file) =>
      withoutComments(readFileSync(`src/${file}`, 'utf8'))
        .split('\n')
        .flatMap((line, index) =>
          COMMAND.test(line) || OPTION.test(line) || QUOTED.test(line)
            ? [`${file}:${index + 1}: ${line.trim()}`]
            : [],
        ),
    )
  expect(named).toEqual([])
})
