import { readFileSync } from 'node:fs'
import { hostname } from 'node:os'
import type { NewRecording, Recording } from '../../store/index.js'

/** Where lines come from: a port, as they are made, or a file that can be read again. */
type WriterKind = 'live' | 'import'

/** Which process writes a recording; kept with it, so that one that was broken off can be told from one in progress. */
interface Writer {
  readonly kind: WriterKind
  readonly pid: number
  readonly host: string
}

/** The recording with a note that this process writes it. */
export function asWriter(recording: NewRecording, kind: WriterKind): NewRecording {
  const writer: Writer = { kind, pid: process.pid, host: hostname() }
  return { ...recording, readout: { ...(recording.readout as object), writer } }
}

/** Where the lines of a recording came from; recordings without a note of it count as live. */
export function writerKind(recording: Recording): WriterKind {
  return writerOf(recording)?.kind ?? 'live'
}

/** Whether the process that writes an unended recording may still run; on another computer nobody can tell. */
export function isBeingWritten(recording: Recording): boolean {
  const writer = writerOf(recording)
  if (writer === null) return false
  return writer.host === hostname() && isTablepace(writer.pid)
}

function writerOf(recording: Recording): Writer | null {
  const { writer } = (recording.readout ?? {}) as { readonly writer?: Writer }
  return writer ?? null
}

/**
 * Whether a process of this program runs under a process id. The number is given again after a restart of the computer:
 * where the system tells, the command is looked at.
 */
export function isTablepace(pid: number): boolean {
  if (pid === process.pid) return true
  try {
    process.kill(pid, 0)
  } catch (error) {
    // Someone else's process runs, but may not be signalled.
    return (error as NodeJS.ErrnoException).code === 'EPERM'
  }
  try {
    return readFileSync(`/proc/${pid}/cmdline`, 'latin1').includes('tablepace')
  } catch {
    return true
  }
}
