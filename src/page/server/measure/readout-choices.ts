import { UsageError } from '../../../errors/index.js'
import { listPorts, listReadoutProfiles, listUserProfiles } from '../../../ingest/index.js'
import type { ConnectRequest, PortsAnswer } from '../../api.js'

/**
 * What the page may open. A page that took any path would read any file, and hang on a pipe or an endless device, so
 * it takes ports that the system lists, those that were named when the page was started, and profiles by name.
 *
 * @param namedPorts paths named by who started the program
 */
export async function readoutChoices(namedPorts: readonly string[]): Promise<PortsAnswer> {
  // A broken profile of the user's own is told where it is asked for, and must not hide the ports.
  const [found, builtIn, own] = await Promise.all([
    listPorts(),
    listReadoutProfiles(),
    listUserProfiles().catch(() => []),
  ])
  const listed = found.map(({ path, stablePath, description }) => ({ path: stablePath ?? path, description }))
  const named = namedPorts
    .filter((path) => !listed.some((port) => port.path === path))
    .map((path) => ({ path, description: 'named at the start' }))
  return {
    ports: [...listed, ...named],
    profiles: [...builtIn, ...own].map(({ name, description }) => ({ name, description })),
  }
}

/** @throws UsageError `port-not-listed` naming the ports there are */
export async function checkListedPort(
  { port }: Pick<ConnectRequest, 'port'>,
  namedPorts: readonly string[],
): Promise<void> {
  if (namedPorts.includes(port)) return
  const found = await listPorts()
  if (found.some(({ path, stablePath }) => path === port || stablePath === port)) return
  const known = [...found.map(({ path }) => path), ...namedPorts]
  throw new UsageError(
    'port-not-listed',
    `The page opens only ports that this computer lists, and ${port} is not one of them.`,
    known.length === 0
      ? 'It lists none now: plug the readout in and look for ports again. A port that is never listed has to be named when the page is started.'
      : `Choose one of these: ${known.join(', ')}. A port that is never listed has to be named when the page is started.`,
  )
}
