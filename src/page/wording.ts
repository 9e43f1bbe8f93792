import type { Said, TablepaceError, Wording } from '../errors/index.js'

/** How the page says each way: the view to open; nothing where the page has no place for it. */
export const PLACES: Wording = {
  'add-axis': '',
  'add-machine': '',
  adopt: ' on the page "Recheck"',
  'back-up': '',
  calibrate: ' on the page "Plan"',
  'change-dial': () => '',
  'describe-axis': '',
  'enter-marks': '',
  examine: '',
  explain: () => '',
  export: () => '',
  'finish-runs': () => '',
  fit: ' on the page "Record"',
  'import-store': '',
  'learn-readout': '',
  'list-machines': '',
  'list-ports': ' on the page "Record"',
  'list-runs': ' on the page "Record" or "Stopwatch"',
  'list-tables': ' on the page "Feeds"',
  practice: () => '',
  recheck: ' on the page "Recheck"',
  restore: '',
  'show-machine': '',
  traverse: ' on the page "Record" or "Stopwatch"',
  'traverse-by-readout': ' on the page "Record"',

  afresh: '',
  'all-runs': '',
  'any-page-port': '',
  axis: '',
  baud: ' under "Speed and profile of the readout"',
  'chosen-runs': '',
  column: '',
  'count-length': '',
  dial: () => '',
  'link-settings': ' under "Speed and profile of the readout"',
  machine: '',
  'machine-name': '',
  'motor-power': '',
  'move-error': '',
  overwrite: '',
  'page-address': '',
  'page-port': '',
  person: '',
  procedure: ' on the page "Plan"',
  profile: ' under "Speed and profile of the readout"',
  'replace-profile': '',
  'spindle-speeds': '',
  store: '',
  'tag-cutting': '',
  target: '',
  tolerance: () => '',
}

/** What is said, as the page says it. */
export function onPage(said: Said): string {
  return typeof said === 'string' ? said : said.in(PLACES)
}

/** What went wrong and the way out, as the page says them. */
export function troubleOnPage({ said }: TablepaceError): string {
  return `${onPage(said.message)} ${onPage(said.hint)}`
}
