import { PRINTED_WIDTH } from '../../text/index.js'
import type { PlotSize } from './terminal-plot.js'

/** Characters beyond which a plot gains nothing: what every printed line keeps within. */
const WIDEST = PRINTED_WIDTH
/** Characters below which it shows nothing (judgement). */
const NARROWEST = 30

/** Size and characters of a plot on this stream: its width where it is a terminal, else `COLUMNS`, else 80. */
export function plotSize(
  stream: { readonly columns?: number },
  height: number,
  env: Readonly<Record<string, string | undefined>>,
  platform: NodeJS.Platform,
): PlotSize {
  const width = stream.columns ?? (Number(env.COLUMNS) || PRINTED_WIDTH)
  return {
    width: Math.min(WIDEST, Math.max(NARROWEST, width)),
    height,
    unicode: showsUnicode(env, platform),
  }
}

/**
 * Whether braille and discs can be hoped to show: a UTF-8 locale (POSIX: LC_ALL before LC_CTYPE before LANG) and not
 * the kernel's console, whose font has no braille. Windows terminals of today show them.
 */
function showsUnicode(env: Readonly<Record<string, string | undefined>>, platform: NodeJS.Platform): boolean {
  if (env.TERM === 'dumb' || env.TERM === 'linux') return false
  if (platform === 'win32') return env.WT_SESSION !== undefined || env.TERM_PROGRAM !== undefined
  const locale = env.LC_ALL || env.LC_CTYPE || env.LANG || ''
  return /utf-?8/i.test(locale)
}
