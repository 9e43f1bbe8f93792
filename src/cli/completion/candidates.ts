import type { Argument, Command, Option } from 'commander'

/** Names that only the store knows. */
interface KnownNames {
  readonly machines: () => readonly string[]
  readonly axes: () => readonly string[]
}

/**
 * What may stand where the cursor is, from the command tree itself, so that it is never behind the program. Empty where
 * a file or a free value belongs.
 *
 * @param before finished words after the program's name
 * @param partial the word at the cursor, maybe empty
 */
export function candidates(
  program: Command,
  before: readonly string[],
  partial: string,
  names: KnownNames,
): string[] {
  const { command, operands, awaited } = readWords(program, before)
  const fitting = (words: readonly string[]) => words.filter((word) => word.startsWith(partial)).sort()
  if (awaited !== null) return fitting(valuesOf(awaited, names))
  const assigned = /^(--[^=]+)=/.exec(partial)
  if (assigned !== null) {
    const option = optionsOf(command).find((one) => one.long === assigned[1])
    return option === undefined
      ? []
      : fitting(valuesOf(option, names).map((value) => `${assigned[1]}=${value}`))
  }
  if (partial.startsWith('-')) {
    return fitting(optionsOf(command).flatMap((option) => (option.long ? [option.long] : [])))
  }
  const argument = command.registeredArguments[operands]
  return fitting([
    ...(operands === 0 ? subcommandsOf(command).map((one) => one.name()) : []),
    ...choicesOf(argument),
  ])
}

interface Reading {
  readonly command: Command
  /** Words that are neither command, option nor an option's value. */
  readonly operands: number
  /** The option whose value comes next. */
  readonly awaited: Option | null
}

function readWords(program: Command, words: readonly string[]): Reading {
  let command = program
  let operands = 0
  let awaited: Option | null = null
  for (const word of words) {
    if (awaited !== null) {
      awaited = null
      continue
    }
    if (word.startsWith('-') && word !== '-') {
      const option = optionsOf(command).find((one) => one.long === word || one.short === word)
      awaited = option?.required === true ? option : null
      continue
    }
    const next = operands === 0 ? subcommandsOf(command).find((one) => one.name() === word) : undefined
    if (next === undefined) operands++
    else command = next
  }
  return { command, operands, awaited }
}

/** Options of a command and of those above it, which may stand anywhere. */
function optionsOf(command: Command): Option[] {
  const own = [...command.options].filter((option) => !option.hidden)
  return command.parent === null ? own : [...own, ...optionsOf(command.parent)]
}

function subcommandsOf(command: Command): Command[] {
  return command.createHelp().visibleCommands(command)
}

function valuesOf(option: Option, names: KnownNames): readonly string[] {
  if (option.long === '--machine') return names.machines()
  if (option.long === '--axis') return names.axes()
  if (option.long === '--direction') return ['+', '-']
  return option.argChoices ?? []
}

function choicesOf(argument: Argument | undefined): readonly string[] {
  return argument?.argChoices ?? []
}
