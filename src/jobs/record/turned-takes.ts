import { DataError } from '../../errors/index.js'
import type { Axis, DialSetting } from '../../store/index.js'
import { countOf } from '../../text/index.js'
import { LEAST_LEVEL_S } from '../../traverse/index.js'
import { feedUnit, formatDial, formatFeed } from '../../units/index.js'
import type { ReadoutSettings } from '../readout/readout-settings.js'
import type { JudgedTraverse } from './judge-takes.js'

/** The dial setting of every run of a recording, in order. */
export function dialsOf(
  {
    dial,
    settings: { turned },
  }: { readonly dial: DialSetting; readonly settings: Pick<ReadoutSettings, 'turned'> },
  runs: number,
): readonly DialSetting[] {
  return turned === undefined ? Array.from({ length: runs }, () => dial) : turned.dials.slice(0, runs)
}

/**
 * Why the levels found in a travel cannot be given to the settings named, with what was seen; null where they can. A
 * travel recorded live may have ended before the last settings, one in a file is what its user says of it.
 */
export function levelsDiffer(
  turned: NonNullable<ReadoutSettings['turned']>,
  runs: readonly JudgedTraverse[],
  axis: Pick<Axis, 'unit' | 'lettered'>,
): DataError | null {
  const { dials, mayEndEarly, known } = turned
  const [least, most] = !mayEndEarly
    ? [dials.length, dials.length]
    : known === undefined
      ? [1, dials.length]
      : [Math.max(1, known), Math.min(known + 1, dials.length)]
  if (least <= runs.length && runs.length <= most) return null
  const named = `${dials.length} settings were named (${dials.map((dial) => formatDial(dial, axis)).join(', ')})`
  if (runs.length === 0) {
    return new DataError(
      'no-motion',
      `${named}, and the table held no speed for ${LEAST_LEVEL_S} s in this recording.`,
      'Check that the feed was engaged and that the readout shows this axis.',
    )
  }
  const seen = runs.map((run) => {
    const feed =
      run.feed === null
        ? 'no steady feed'
        : `${formatFeed(run.feed.feedMmPerMin, null, axis.unit)} ${feedUnit(axis.unit)}`
    const [fromS, toS] = [
      run.phases?.startS ?? run.window?.startS ?? 0,
      run.phases?.endS ?? run.window?.endS ?? 0,
    ]
    return `${feed} from ${fromS.toFixed(1)} s to ${toS.toFixed(1)} s`
  })
  return new DataError(
    'levels-differ',
    `${named}, but ${countOf(runs.length, 'level')} of speed show: ${seen.join('; ')}.`,
    'Name the settings as they were turned, each once, in order. Hold each for 8 s or more and for one and a half turns of the leadscrew; two that feed alike cannot be told apart in one travel.',
  )
}
