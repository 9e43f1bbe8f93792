import { existsSync } from 'node:fs'
import { type Said, sentence, TablepaceError, way } from '../../errors/index.js'
import { begunStores, openStore, refuseReadOnly, type Store } from '../../store/index.js'
import type { Finding } from './doctor.js'
import { brokenOff } from './store-unfinished.js'
import { isTablepace } from './store-writer.js'

/**
 * Whether the store opens, is sound all through, and holds recordings that were broken off; and what stayed beside it of a
 * program that was ended while it made the store.
 */
export function checkStore(path: string): Finding[] {
  return [...checkFile(path), ...begunBeside(path)]
}

function checkFile(path: string): Finding[] {
  if (!existsSync(path)) {
    return [ok(`There is not a store ${path} yet; adding a machine makes it.`)]
  }
  let store: Store
  try {
    store = openStore(path, { mode: 'read' })
  } catch (error) {
    if (!(error instanceof TablepaceError)) throw error
    return [bad(error.message, error.said.hint)]
  }
  try {
    const { problems } = store.integrityCheck()
    const damage = problems.map((problem) =>
      bad(
        problem,
        sentence`Keep the file. A damaged table can be made again from its runs${way('fit')}; for anything else put a backup in its place${way('restore')}.`,
      ),
    )
    const found = [...leftOut(store), ...damage]
    const sound = found.length > 0 ? found : [ok(`The store ${path} is sound.`), ...unfinished(store)]
    return [...sound, ...readOnly(path)]
  } catch (error) {
    // What the check itself did not meet.
    if (!(error instanceof TablepaceError)) throw error
    return [bad(error.message, error.said.hint)]
  } finally {
    store.close()
  }
}

/** What is read can be sound where nothing can be stored. */
function readOnly(path: string): Finding[] {
  try {
    refuseReadOnly(path)
    return []
  } catch (error) {
    if (!(error instanceof TablepaceError)) throw error
    return [
      bad(`${error.message} Feeds can be looked up, but no run and no table can be stored.`, error.said.hint),
    ]
  }
}

function leftOut({ leftOut: what }: Store): Finding[] {
  if (what === null) return []
  const wayOut = sentence`Do the last thing again that you did, or put a newer backup in its place${way('restore')}.`
  return [{ check: 'store', state: 'look', finding: what, wayOut }]
}

function unfinished(store: Store): Finding[] {
  return store.machines.list().flatMap((machine) =>
    store.axes.list(machine.id).flatMap((axis): Finding[] => {
      const count = brokenOff(store, axis).length
      if (count === 0) return []
      return [
        {
          check: 'store',
          state: 'look',
          finding: `${machine.name} ${axis.name} has ${count} recordings that broke off before they were judged.`,
          wayOut: sentence`Judge what was saved${way('finish-runs', { machine: machine.name, axis: axis.name })}.`,
        },
      ]
    }),
  )
}

function begunBeside(path: string): Finding[] {
  return begunStores(path)
    .filter(({ pid }) => !isTablepace(pid))
    .map((begun) => ({
      check: 'store',
      state: 'look',
      finding: `${begun.path} is left from a program that was ended while it made a new store. It holds no runs.`,
      wayOut: 'Delete that file; nothing needs it.',
    }))
}

function ok(finding: string): Finding {
  return { check: 'store', state: 'ok', finding, wayOut: null }
}

function bad(finding: string, wayOut: Said): Finding {
  return { check: 'store', state: 'bad', finding, wayOut }
}
