import { expect, test } from 'vitest'
import { buildProgram } from '../../src/cli/program.js'
import { COMMANDS, onCommandLine, sentencesOnCommandLine } from '../../src/cli/wording.js'
import { sentence, type Ways, type Wording, way } from '../../src/errors/index.js'
import { PLACES } from '../../src/page/wording.js'

/** Something for each way that has to be told what it is about. */
const ABOUT: { readonly [W in keyof Ways as undefined extends Ways[W] ? never : W]: Ways[W] } = {
  'change-dial': { axis: 'X' },
  dial: { path: 'run.csv' },
  explain: { dial: '3.5', version: 2 },
  export: { format: 'json' },
  'finish-runs': { machine: 'Bench mill', axis: 'X' },
  practice: { person: 'Ann' },
  'recheck-direction': { sign: '-' },
  tolerance: { percent: '3' },
}
const names = Object.keys(COMMANDS) as (keyof Ways)[]

function rendered(name: keyof Ways, wording: Wording): string {
  const about = (ABOUT as Record<string, unknown>)[name]
  return sentence`Do it${{ way: name, about }}.`.in(wording)
}

test.each(names)('the command line says the way to %s as a command or an option that there is', (name) => {
  const text = rendered(name, COMMANDS)
  expect(text).toMatch(/`tablepace [a-z]|--[a-z]/)
  const command = /`tablepace ([a-z]+)(?: ([a-z]+))?/.exec(text)
  if (command === null) return
  const found = buildProgram().commands.find((one) => one.name() === command[1])
  expect(found, command[0]).toBeDefined()
  if (found!.commands.length > 0) expect(found!.commands.map((one) => one.name())).toContain(command[2])
})

test.each(names)('the page says the way to %s without a command or an option', (name) => {
  expect(rendered(name, PLACES)).toMatch(/^Do it( [^`]+)?\.$/)
  expect(rendered(name, PLACES)).not.toMatch(/tablepace|--/)
})

test.each([
  ['X', 'X'],
  ['Bench mill', '"Bench mill"'],
  ['Ann`s $mill', "'Ann`s $mill'"],
  ['a "b" it\'s', "'a \"b\" it'\\''s'"],
])('a name such as %s can be pasted', (axis, argument) => {
  expect(onCommandLine(sentence`Do it${way('change-dial', { axis })}.`)).toBe(
    `Do it with \`tablepace axis change ${argument} --dial MIN..MAX\`.`,
  )
})

test('a document has its sentences said as well', () => {
  const document = { notes: [{ message: sentence`Make one${way('fit')}.` }], plain: 'as it is', none: null }
  expect(JSON.parse(JSON.stringify(document, sentencesOnCommandLine))).toEqual({
    notes: [{ message: 'Make one with `tablepace fit`.' }],
    plain: 'as it is',
    none: null,
  })
})
