import { type Said, type Sentence, sentence } from './sentence.js'

/** Exit codes that a failure may end with; 3 and 4 are verdicts of a recheck, not failures. */
type FailureExitCode = 1 | 2 | 5

/**
 * What went wrong, said to a machinist: one sentence (`message`), one way out (`hint`),
 * a stable `code` for programs, and the exit code of the process. Both are whole without any face; `said` is what a
 * face puts its own ways into.
 */
export abstract class TablepaceError extends Error {
  abstract readonly exitCode: FailureExitCode
  readonly code: string
  readonly hint: string
  /** Not enumerable, so that the error still shows and compares as it reads. */
  declare readonly said: { readonly message: Said; readonly hint: Said }

  constructor(code: string, message: Said, hint: Said, options?: { cause?: unknown }) {
    super(String(message), options)
    this.name = new.target.name
    this.code = code
    this.hint = String(hint)
    Object.defineProperty(this, 'said', { value: { message, hint } })
  }

  /** What went wrong and the way out, for a face to say in one go. */
  get inFull(): Sentence {
    return sentence`${this.said.message} ${this.said.hint}`
  }
}

/** These data cannot give the answer: no motion found, feed out of range, too few runs. */
export class DataError extends TablepaceError {
  readonly exitCode = 1
}

/** The program was asked in a way it cannot follow: unknown option, unreadable quantity, unknown machine. */
export class UsageError extends TablepaceError {
  readonly exitCode = 2
}

/** A port or an instrument on it failed. Does not cover lines that merely cannot be read. */
export class DeviceError extends TablepaceError {
  readonly exitCode = 5
}

/** A file could not be read or written. */
export class FileError extends TablepaceError {
  readonly exitCode = 5
}

/** The store could not be opened, read or written. */
export class StoreError extends TablepaceError {
  readonly exitCode = 5
}
