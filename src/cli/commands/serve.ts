import { networkInterfaces } from 'node:os'
import type { Command } from 'commander'
import { UsageError } from '../../errors/index.js'
import { parseNumber } from '../../units/index.js'
import { type GlobalOptions, storePath } from '../context.js'
import { collect } from '../options.js'
import { printError, printJson, printResult, say } from '../terminal/terminal.js'

interface ServeCommandOptions extends GlobalOptions {
  readonly port: string
  /** True where the option stands without an address. */
  readonly host?: string | true
  readonly readoutPort: readonly string[]
  /** False where the browser is to be left alone. */
  readonly open: boolean
}

/** Where the page is found when nothing else is said. */
const USUAL_PORT = '8421'
/**
 * Time, ms, to wait for a store that another program writes to. Judgement: half of the usual one, since lines are
 * stamped by the same program, which stands still meanwhile.
 */
const BUSY_TIMEOUT_MS = 500

const AFTER_HELP = `
Examples
  tablepace serve                              on this computer alone
  tablepace serve --host                       on a phone: scan the code
  tablepace serve --host 192.168.1.20          where there are several addresses
  tablepace serve --readout-port /dev/ttyS4    a port that is not listed

The page opens no file and no other port, whatever it is asked for. The address holds a secret that lets you in; it
is new at each start, so open the page again then.
`

/** `serve` shows the job as a page in the browser, on this computer or on a phone beside the mill. */
export function registerServe(program: Command): void {
  program
    .command('serve')
    .description('the whole job on a page in your browser, or on a phone at the machine')
    .option('--port <n>', 'TCP port for the page; 0 takes any free one', USUAL_PORT)
    .option('--host [address]', 'let phones on your network in as well, with a pairing code')
    .option(
      '--readout-port <path>',
      'a serial port that the system does not list, for the page to use (repeatable)',
      collect,
      [],
    )
    .option('--no-open', 'do not open the browser; it is opened where there is one')
    .addHelpText('after', AFTER_HELP)
    .action((_: unknown, command: Command) => serve(command.optsWithGlobals()))
}

async function serve(options: ServeCommandOptions): Promise<void> {
  const port = tcpPort(options.port)
  const host = options.host === undefined ? null : options.host === true ? ownAddress() : options.host
  const { openStore } = await import('../../store/index.js')
  const { servePage } = await import('../../page/index.js')
  const store = openStore(await storePath(options), { mode: 'write', busyTimeoutMs: BUSY_TIMEOUT_MS })
  if (store.leftOut !== null) say(store.leftOut)
  try {
    const page = await servePage(store, { port, host, readoutPorts: options.readoutPort })
    // Listened for before the address is told: whoever reads that may end the program at once.
    const end = interrupted()
    if (options.json) printJson({ url: page.url, pairingUrl: page.pairingUrl })
    else {
      printResult(page.url)
      if (page.pairingUrl !== null) await showPairing(page.pairingUrl)
      say(
        'Open the whole address in a browser; the part after # lets you in, so keep it to yourself. Ctrl-C ends it; a recording in progress is kept.',
      )
    }
    const close = options.open && !options.json ? await openPage(page.url) : () => {}
    await end
    close()
    await page.close()
  } finally {
    store.close()
  }
}

/** Opens the page in the browser where there is one. @returns ends what that took */
async function openPage(url: string): Promise<() => void> {
  const { browserOpener, openInBrowser } = await import('../open-browser.js')
  const { env, platform, stdout } = process
  const opener = browserOpener({ env, platform, isTerminal: stdout.isTTY === true })
  return opener === null ? () => {} : openInBrowser(opener, url)
}

async function showPairing(url: string): Promise<void> {
  const { renderUnicodeCompact } = await import('uqr')
  say('')
  say(
    'For a phone in the same network: scan this, or open the address below. Whoever has it can record runs;',
  )
  say('it holds until this program ends. The connection is not encrypted: use it in a network you trust.')
  if (process.stderr.isTTY === true) printError(renderUnicodeCompact(url, { border: 2 }))
  printResult(url)
}

/** A TCP port number. @throws UsageError `bad-port` */
function tcpPort(text: string): number {
  const port = parseNumber(text, '--port')
  if (Number.isInteger(port) && port >= 0 && port <= 65_535) return port
  throw new UsageError(
    'bad-port',
    `--port: ${text} is not a TCP port number.`,
    'Give a number from 0 to 65535.',
  )
}

/** An address of this computer in the local network. @throws UsageError `no-network` */
function ownAddress(): string {
  const found = Object.values(networkInterfaces())
    .flatMap((one) => one ?? [])
    .filter((one) => one.family === 'IPv4' && !one.internal)
    .map((one) => one.address)
  const [first, ...others] = found
  if (first === undefined) {
    throw new UsageError(
      'no-network',
      'This computer has no address in a local network.',
      'Join the network the phone is in, or leave --host out.',
    )
  }
  if (others.length > 0)
    say(`This computer has several addresses; ${first} is used. Others: --host ${others.join(', --host ')}`)
  return first
}

function interrupted(): Promise<void> {
  return new Promise((resolve) => {
    process.once('SIGINT', () => resolve())
    process.once('SIGTERM', () => resolve())
  })
}
