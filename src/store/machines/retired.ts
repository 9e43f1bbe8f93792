import { type Said, sentence, UsageError } from '../../errors/index.js'

/** The error where all that is meant is retired. @param how to bring it back, and what else to do: the end of a sentence */
export function retired(code: string, meant: readonly string[], how: Said): UsageError {
  const names = [...new Set(meant)]
  const [are, it] = names.length === 1 ? ['is', 'it'] : ['are', 'one']
  return new UsageError(code, `${names.join(', ')} ${are} retired.`, sentence`Bring ${it} back${how}`)
}
