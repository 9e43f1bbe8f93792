import { type Said, Sentence, type Wording } from '../errors/index.js'

/** How the command line says each way: the command to type, or the option to give. */
export const COMMANDS: Wording = {
  'add-axis': ' with `tablepace axis add AXIS --machine NAME --travel LENGTH --dial MIN..MAX`',
  'add-machine': ' with `tablepace machine add NAME --units in|mm`',
  adopt: ' with `tablepace recheck --adopt`',
  'bring-back-axis': ' with `tablepace axis restore AXIS --machine NAME`',
  'bring-back-machine': ' with `tablepace machine restore NAME`',
  'back-up': ': `tablepace backup --to PATH`',
  calibrate: ' with `tablepace calibrate`',
  'change-dial': ({ axis }) => ` with \`tablepace axis change ${argument(axis)} --dial MIN..MAX\``,
  'describe-axis':
    ', like `tablepace axis add X --machine NAME --travel 24in --dial 0..10 --marks 1,2,3,5,8,10`',
  'enter-marks': ' with `tablepace axis change AXIS --marks 1,2,3,…`',
  examine: ' with `tablepace doctor`',
  explain: ({ dial, version }) => ` with \`tablepace explain ${dial} --version ${version}\``,
  export: ({ format }) => ` with \`tablepace export --format ${format}\``,
  'finish-runs': (of) =>
    of === null
      ? ' with `tablepace run finish`'
      : ` with \`tablepace run finish --machine ${argument(of.machine)} --axis ${argument(of.axis)}\``,
  fit: ' with `tablepace fit`',
  'import-store': ' with `tablepace import STORE`',
  'learn-readout': ' with `tablepace readout learn`',
  'list-machines': ' with `tablepace machine list`',
  'list-ports': ' with `tablepace readout ports`',
  'list-runs': ' with `tablepace runs`',
  'list-tables': ' with `tablepace tables`',
  practice: ({ person }) =>
    ` with \`tablepace practice${person === null ? '' : ` --person ${argument(person)}`}\``,
  recheck: ' with `tablepace recheck --within 3 --reason "what was done" --from DIAL=FILE`',
  'recheck-direction': ({ sign }) => `: recheck it with --direction ${sign}`,
  restore: ' with `tablepace restore BACKUP`',
  'rotary-axis': ' with `tablepace axis add A --rotary`',
  'show-machine': ' with `tablepace machine show NAME`',
  'read-runs': ' with `tablepace traverse --from FILE`',
  traverse: ' with `tablepace traverse`',
  'traverse-rapid': ' with `tablepace traverse --dial rapid`',
  'traverse-by-readout': ' with `tablepace traverse --dial D --port PATH`',

  'start-over': ' with --new',
  'all-runs': ' with --mixed',
  'any-page-port': ' (--port 0 takes any that is free)',
  axis: ' with --axis NAME',
  baud: ' with --baud',
  'chosen-runs': ' with --since or --runs',
  column: ' with --label or --column',
  'count-length': ' (--count-length)',
  dial: ({ path }) => ` with --dial D, or with --from ${argument(`D=${path}`)}`,
  'link-settings': ' with --baud and --framing',
  machine: ' with --machine NAME',
  'machine-name': ', like `tablepace machine add knee-mill --units in`',
  'motor-power': ' (--motor)',
  'move-error': ' with --known-move-error',
  overwrite: ' with --force',
  'page-address': ' with --host',
  'page-port': ' with --port',
  person: ' with --person',
  procedure: ' with --procedure',
  profile: ' with --readout',
  'replace-profile': ' with --replace',
  'spindle-speeds': ' (--spindle)',
  'stop-margin': ' (--margin)',
  store: ' with --store FILE',
  'tag-cutting': ' with --tag load=cutting',
  target: ' with --to',
  tolerance: ({ percent }) => ` (--within${percent === null ? '' : ` ${percent}`})`,
}

/** What is said, as the command line says it. */
export function onCommandLine(said: Said): string {
  return typeof said === 'string' ? said : said.in(COMMANDS)
}

/** The same in every sentence of a document, for `JSON.stringify`. */
export function sentencesOnCommandLine(this: unknown, key: string, value: unknown): unknown {
  // `value` was already made plain by the sentence's own `toJSON`.
  const held = (this as Record<string, unknown>)[key]
  return held instanceof Sentence ? onCommandLine(held) : value
}

/** A name from the store as one argument, so that the command can be pasted. */
export function argument(text: string): string {
  if (/^[\w./=:+-]+$/.test(text)) return text
  return /[`"$\\!]/.test(text) ? `'${text.replaceAll("'", "'\\''")}'` : `"${text}"`
}

/** A feed as it may be asked for on an axis in `unit`, for sentences that show how. */
export const EXAMPLE_FEED = { in: '7in/min', mm: '180mm/min', deg: '90deg/min' } as const

/** A travel as it may be entered for a machine in `unit`, for sentences that show how. */
export const EXAMPLE_TRAVEL = { in: '20in', mm: '500mm', deg: '360deg' } as const
