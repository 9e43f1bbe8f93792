/** The user `nobody` of most systems. */
const NOBODY = 65534

/** Runs `work` with the rights of an ordinary user: root may do anything, whatever the file's rights say. */
export function asOtherUser<T>(work: () => T): T {
  if (process.geteuid?.() !== 0) return work()
  process.setegid?.(NOBODY)
  process.seteuid?.(NOBODY)
  try {
    return work()
  } finally {
    process.seteuid?.(0)
    process.setegid?.(0)
  }
}
