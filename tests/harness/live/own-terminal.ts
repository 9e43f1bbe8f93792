import * as pty from '@lydell/node-pty'

/**
 * Closes every file that was inherited and becomes the program: a child of this process inherits the master side of each
 * pseudo-terminal that is open here, and as long as it holds one, unplugging that one is not seen.
 */
const WITH_NOTHING_INHERITED =
  'for fd in $(ls /dev/fd); do [ "$fd" -gt 2 ] && eval "exec $fd>&-"; done; exec "$0" "$@"'

/** Starts a program on a pseudo-terminal of its own, with no other file open. */
export function spawnOnTerminal(
  file: string,
  args: readonly string[],
  options: pty.IPtyForkOptions,
): pty.IPty {
  return pty.spawn('bash', ['-c', WITH_NOTHING_INHERITED, file, ...args], options)
}
