import type { Command, Option } from 'commander'
import { describe, expect, it } from 'vitest'
import { buildProgram } from '../../src/cli/program.js'

/** Commands that do something, with all their words. */
function leaves(command: Command, path: readonly string[] = []): (readonly [string, Command])[] {
  const below = command
    .createHelp()
    .visibleCommands(command)
    .filter((one) => one.name() !== 'help')
  if (below.length === 0) return [[path.join(' '), command]]
  return below.flatMap((one) => leaves(one, [...path, one.name()]))
}

/** The whole help, with what is added after the options. */
function helpOf(command: Command): string {
  let text = ''
  command.configureOutput({ writeOut: (part) => (text += part) })
  command.outputHelp()
  return text
}

function examplesIn(help: string): string[] {
  return [...help.matchAll(/^ {2}(tablepace .*?)(?: {2,}.*)?$/gm)].map((match) => match[1]!)
}

function optionsOf(command: Command): Option[] {
  return [...command.options, ...(command.parent === null ? [] : optionsOf(command.parent))]
}

const program = buildProgram()
const COMMANDS = leaves(program)

describe('the help of a command', () => {
  it.each(COMMANDS)('%s has an example', (path, command) => {
    const own = examplesIn(helpOf(command)).filter(
      (line) => line.includes(`tablepace `) && line.includes(path),
    )
    expect(own, path).not.toEqual([])
  })

  it.each(COMMANDS)('%s shows only commands and options that there are', (_path, command) => {
    for (const line of examplesIn(helpOf(command))) {
      const words = line.replace(/[()]/g, ' ').split(/\s+/).slice(1)
      const known = words.reduce<Command>(
        (at, word) => at.commands.find((one) => one.name() === word) ?? at,
        program,
      )
      expect(known, line).not.toBe(program)
      const named = words.filter((word) => word.startsWith('--')).map((word) => word.split('=')[0]!)
      const there = optionsOf(known).map((option) => option.long ?? '')
      expect(
        named.filter((name) => !there.includes(name)),
        line,
      ).toEqual([])
    }
  })
})
