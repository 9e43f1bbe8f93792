import { UsageError } from '../../errors/index.js'
import { noteCut } from '../../jobs/index.js'
import type { CutPass, CutterMaterial } from '../../planning/cut/index.js'
import type { CutOutcomeName, Machine, Store } from '../../store/index.js'
import { fromMm, parseFeedMmPerMin, parseLengthMm, parseNumber, parseRoughnessUm } from '../../units/index.js'
import { cutNoteText, cutProblemWords } from '../../words/index.js'
import { type AxisOptions, nowIso } from '../context.js'
import { feedQuantity, lengthJson } from '../json-shapes.js'
import { printJson, printResult } from '../terminal/terminal.js'
import { CUT_OPTIONS } from './options.js'

export interface NoteOptions extends AxisOptions {
  readonly cutter: string
  readonly pass: CutPass
  readonly diameter: string
  readonly teeth?: string
  readonly material: string
  readonly cutterMaterial: CutterMaterial
  readonly rpm: string
  readonly feed: string
  readonly width?: string
  readonly depth?: string
  readonly finish?: string
  readonly note?: string
}

/** `cut-note`: keeps what happened at a cut, for the next like it. @throws UsageError */
export async function note(
  store: Store,
  machine: Machine,
  outcome: CutOutcomeName,
  options: NoteOptions,
): Promise<void> {
  const { unit } = machine
  const length = (text: string | undefined, what: string) =>
    text === undefined ? null : parseLengthMm(text, unit, what)
  const { teeth, finish } = options
  const noted = await noteCut(
    store,
    machine,
    {
      cutter: options.cutter,
      pass: options.pass,
      diameterMm: parseLengthMm(options.diameter, unit, CUT_OPTIONS.diameter),
      teeth: teeth === undefined ? null : parseNumber(teeth, CUT_OPTIONS.teeth),
      materialName: options.material,
      cutterMaterial: options.cutterMaterial,
      rpm: parseNumber(options.rpm, CUT_OPTIONS.rpm),
      feedMmPerMin: parseFeedMmPerMin(options.feed, unit, CUT_OPTIONS.feed),
      widthMm: length(options.width, CUT_OPTIONS.width),
      depthMm: length(options.depth, CUT_OPTIONS.depth),
      outcome,
      finishUm: finish === undefined ? null : parseRoughnessUm(finish, CUT_OPTIONS.finish),
      note: options.note ?? '',
    },
    nowIso(),
  )
  if (noted.problem !== null) {
    const { problem, ownFile } = noted
    const { code, message, hint } = cutProblemWords(problem, CUT_OPTIONS, { unit, ownFile })
    throw new UsageError(code, message, hint)
  }
  const { machineId: _, diameterMm, feedMmPerMin, widthMm, depthMm, ...kept } = noted.note
  const size = (valueMm: number | null) => (valueMm === null ? null : lengthJson(valueMm, unit))
  if (options.json) {
    return printJson({
      cutNote: {
        ...kept,
        diameter: { value: fromMm(diameterMm, unit), unit },
        feed: feedQuantity(feedMmPerMin, unit),
        width: size(widthMm),
        depth: size(depthMm),
      },
    })
  }
  printResult(`Noted: ${cutNoteText(noted.note, unit)}`)
}
