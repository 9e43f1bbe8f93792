import { DeviceError, type Said, sentence, way } from '../../errors/index.js'

/** As `process.platform` names it; here as text, so that the types of the library need none of Node's. */
type Platform = string

const PERMISSION_HINT: Partial<Record<Platform, string>> = {
  linux:
    'Add your user to the group that owns the port (dialout, on some systems uucp), then log out and in again.',
  win32: 'Close every other program that uses the port, then unplug the adapter and plug it in again.',
}

const NOT_FOUND_HINT: Partial<Record<Platform, Said>> = {
  win32: sentence`List the ports${way('list-ports')}. They are named like COM3; if none shows, the driver of the adapter is missing.`,
}

/**
 * What the operating systems say, in the order it is looked through. The serial library hands on their
 * messages without a code, so that the text is all there is to go by; this is the one place that does.
 */
const CAUSES: readonly {
  readonly says: RegExp
  readonly make: (path: string, on: Platform) => DeviceError
}[] = [
  {
    says: /no such file|file not found|no such device|not exist|cannot find/i,
    make: (path, on) =>
      new DeviceError(
        'port-not-found',
        `There is no serial port ${path}.`,
        NOT_FOUND_HINT[on] ?? sentence`Plug the readout in and list the ports${way('list-ports')}.`,
      ),
  },
  {
    says: /permission denied|EACCES|EPERM/i,
    make: (path, on) =>
      new DeviceError(
        'port-permission',
        `The serial port ${path} cannot be opened by you: permission is missing.`,
        PERMISSION_HINT[on] ?? 'Check who may use the port.',
      ),
  },
  {
    // Windows says "access denied" of a port that another program holds.
    says: /cannot lock|temporarily unavailable|access(?: is)? denied|resource busy|EBUSY/i,
    make: (path) =>
      new DeviceError(
        'port-busy',
        `The serial port ${path} is in use by another program.`,
        'Close the other program, or the other copy of this one.',
      ),
  },
  {
    says: /bad file descriptor|disconnected|not configured|input\/output error|EIO\b|device not recognized/i,
    make: (path) =>
      new DeviceError(
        'port-vanished',
        `The serial port ${path} vanished while it was being read.`,
        'Check the plug and the cable; what was read so far is kept.',
      ),
  },
]

/** What went wrong with a port, from whatever the serial library threw. */
export function portError(path: string, cause: unknown, platform: Platform = process.platform): DeviceError {
  const text = cause instanceof Error ? cause.message : String(cause)
  const known = CAUSES.find(({ says }) => says.test(text))
  if (known) return withCause(known.make(path, platform), cause)
  const reason = text.replace(/^Error:\s*/, '').replace(/\.$/, '')
  return withCause(
    new DeviceError(
      'port-failed',
      `The serial port ${path} failed: ${reason}.`,
      'Check that it is a serial port and that its baud rate is one that the adapter knows.',
    ),
    cause,
  )
}

/** Not a byte came for `silenceS` seconds. */
export function portSilent(path: string, silenceS: number): DeviceError {
  return new DeviceError(
    'port-silent',
    `Nothing came from the serial port ${path} for ${silenceS} s.`,
    'Check that the readout is on and set to send by itself, that the cable is the right one, and the baud rate.',
  )
}

/** Bytes came for `silenceS` seconds, but hardly a line of text with a number. */
export function portGarbage(path: string, baudRate: number, silenceS: number): DeviceError {
  return new DeviceError(
    'port-garbage',
    `The serial port ${path} sent bytes at ${baudRate} baud for ${silenceS} s but hardly a readable line.`,
    sentence`Most likely the baud rate is wrong: look it up in the settings of the readout and give it${way('baud')}.`,
  )
}

/** The bytes follow a parity rule: they were sent with seven data bits, and are read with eight. */
export function portFraming(path: string, framing: string): DeviceError {
  return new DeviceError(
    'port-framing',
    `The serial port ${path} sends bytes whose eighth bit carries no data; they look like ${framing}.`,
    sentence`Let tablepace learn the framing${way('learn-readout')}, and name the profile it makes${way('profile')}.`,
  )
}

/** Readable bytes came for `overS` seconds, but never a line end. */
export function portNoLineEnd(path: string, overS: number, text: string): DeviceError {
  return new DeviceError(
    'port-no-line-end',
    `The serial port ${path} sent readable text for ${overS} s, such as "${text}", but never the end of a line.`,
    'Set the readout to end its lines with CR, LF or both. Otherwise there is no telling where a number ends.',
  )
}

function withCause(error: DeviceError, cause: unknown): DeviceError {
  error.cause = cause
  return error
}
