/**
 * Everything that a sentence may want a person to do or to name, and what a face must know to say how. A face has its
 * own way to each: a command or an option, a place on the page, or none yet. `undefined` where the name says it all.
 */
export interface Ways {
  // Things to do
  readonly 'add-axis': undefined
  readonly 'add-machine': undefined
  readonly 'bring-back-axis': undefined
  readonly 'bring-back-machine': undefined
  readonly adopt: undefined
  readonly 'back-up': undefined
  readonly calibrate: undefined
  readonly 'change-dial': { readonly axis: string }
  readonly 'describe-axis': undefined
  readonly 'rotary-axis': undefined
  readonly 'enter-marks': undefined
  readonly examine: undefined
  readonly explain: { readonly dial: string; readonly version: number }
  readonly export: { readonly format: 'json' | 'datapackage' }
  /** The axis where another than the one in hand is meant. */
  readonly 'finish-runs': { readonly machine: string; readonly axis: string } | null
  readonly fit: undefined
  readonly 'import-store': undefined
  readonly 'learn-readout': undefined
  readonly 'list-machines': undefined
  readonly 'list-ports': undefined
  readonly 'list-runs': undefined
  readonly 'list-tables': undefined
  readonly practice: { readonly person: string | null }
  readonly 'read-runs': undefined
  readonly recheck: undefined
  readonly 'recheck-direction': { readonly sign: '+' | '-' }
  readonly restore: undefined
  readonly 'show-machine': undefined
  readonly traverse: undefined
  readonly 'traverse-by-readout': undefined
  readonly 'traverse-rapid': undefined

  // Things to name or to choose
  readonly 'start-over': undefined
  readonly 'all-runs': undefined
  readonly 'any-page-port': undefined
  readonly axis: undefined
  readonly baud: undefined
  readonly 'chosen-runs': undefined
  readonly column: undefined
  readonly 'count-length': undefined
  readonly dial: { readonly path: string }
  readonly 'link-settings': undefined
  readonly machine: undefined
  readonly 'machine-name': undefined
  readonly 'motor-power': undefined
  readonly 'move-error': undefined
  readonly overwrite: undefined
  readonly 'page-address': undefined
  readonly 'page-port': undefined
  readonly person: undefined
  readonly procedure: undefined
  readonly profile: undefined
  readonly 'replace-profile': undefined
  readonly 'spindle-speeds': undefined
  readonly 'stop-margin': undefined
  readonly store: undefined
  readonly 'tag-cutting': undefined
  readonly target: undefined
  readonly tolerance: { readonly percent: string | null }
}

/** How each way is said: the words that follow what is to be done, with the space before them; empty where there are none. */
export type Wording = {
  readonly [W in keyof Ways]: undefined extends Ways[W] ? string : (about: Ways[W]) => string
}

/** One way in a sentence, still without words. */
export interface Way {
  readonly way: keyof Ways
  readonly about: unknown
}

/**
 * A way, to stand in a `sentence` behind what is to be done.
 *
 * @example sentence`Make one${way('fit')}.` // on the command line: Make one with `tablepace fit`.
 */
export function way<W extends keyof Ways>(
  name: W,
  ...about: undefined extends Ways[W] ? [] : [Ways[W]]
): Way {
  return { way: name, about: about[0] }
}
