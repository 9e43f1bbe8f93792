import { UsageError } from '../../errors/index.js'
import {
  checkProfileName,
  type ListeningPort,
  learnedProfile,
  learnShape,
  listeningPort,
  type ReadoutProfile,
  type StampedLine,
  saveUserProfile,
  sayColumn,
  sayLink,
} from '../../ingest/index.js'
import {
  cautionsFor,
  checkLearned,
  chooseColumn,
  type HeardReadout,
  hearReadout,
  type LearnedAxis,
  learnAxis,
  linesOf,
  measuredLines,
  type StatedLength,
  scaleOfMove,
} from '../../jobs/index.js'
import type { LengthUnit } from '../../units/index.js'
import { measuredText, scaleText, shapeText, trialText } from '../../words/index.js'
import { sayCautions } from '../terminal/cautions.js'
import { canAsk, paint, printJson, printResult, say } from '../terminal/terminal.js'
import { onCommandLine } from '../wording.js'
import { type LearnOptions, type LearnRequest, learnRequest, statedLength } from './learn-options.js'
import { learnedJson } from './learn-text.js'
import { oneMachineUnit } from './machine-unit.js'

/** `readout learn`: listens to a port until its readout can be read, and keeps what was learned as a profile. */
export async function learnReadout(options: LearnOptions): Promise<void> {
  const unit = await oneMachineUnit(options)
  const request = learnRequest(options, unit)
  if (options.saveAs !== undefined) await checkProfileName(options.saveAs, options.replace === true)
  const source = listeningPort(request.port)
  sayCautions(cautionsFor('beforeAxisMove'))
  try {
    say(`Listening on ${request.port}; nothing is ever written to it.`)
    const heard = await hearReadout(source, request.port, request.pinned)
    for (const trial of heard.trials) say(`  ${trialText(trial)}`)
    say(`${paint('bold', sayLink(heard.link))} fits.`)
    const shape = learnShape(heard.lines)
    for (const sentence of shapeText(shape)) say(sentence)
    const told = chooseColumn(shape, request.choice)
    const knownMove = request.knownMove ?? (await askKnownMove(shape.unit, request, unit))
    const needsMove = knownMove !== null || told === null
    const moveLines = needsMove ? await watchMove(source, heard, request, knownMove) : []
    const lines = [...heard.lines, ...moveLines]
    const axis = learnAxis(lines, request.choice, needsMove)
    say(`The axis is ${sayColumn(axis.column)}.`)
    const scale = knownMove === null ? null : scaleOfMove(axis, knownMove)
    say(scale === null ? unscaledText(axis) : scaleText(scale))
    const measured = measuredLines(heard, moveLines, axis, scale)
    for (const sentence of measured === null ? [] : measuredText(measured, knownMove?.rotary ? 'deg' : 'mm'))
      say(sentence)
    const learned = { axis: request.axis, link: heard.link, ...axis, scale, measured }
    const draft = learnedProfile({ name: options.saveAs ?? 'my-readout', ...learned })
    checkLearned(draft, lines)
    const name = await nameToSave(options)
    const profile = name === null ? draft : { ...draft, name }
    const savedTo = name === null ? null : await saveUserProfile(profile, options.replace === true)
    present(profile, savedTo, options, { port: request.port, ...learnedJson(heard, axis, scale) })
  } finally {
    await source.close()
  }
}

async function askKnownMove(
  lineUnit: string | null,
  request: LearnRequest,
  unit: LengthUnit | null,
): Promise<StatedLength | null> {
  if (!canAsk() || request.movesWithinS !== null || lineUnit !== null) return null
  const { input } = await import('@inquirer/prompts')
  const text = await input(
    {
      message:
        'What length will you move the axis by (a handwheel turn, a gauge block, such as 0.1in)? Leave empty if not known:',
    },
    { output: process.stderr },
  )
  return text.trim() === '' ? null : statedLength(text, undefined, unit)
}

/** The lines while the user moves the axis, from rest to rest. */
async function watchMove(
  source: ListeningPort,
  heard: HeardReadout,
  { movesWithinS }: LearnRequest,
  knownMove: StatedLength | null,
): Promise<readonly StampedLine[]> {
  const how = knownMove === null ? 'a good way' : `by the known length, without backlash,`
  const what = `Move the axis alone ${how} and let it rest.`
  if (movesWithinS !== null) {
    say(`${what} Listening for ${movesWithinS} s from now.`)
    const chunks = await source.listen(heard.link, (_, elapsedS) => elapsedS >= movesWithinS)
    return linesOf(chunks, heard.link)
  }
  if (!canAsk()) {
    throw new UsageError(
      'move-missing',
      'The axis has to be moved, and there is no terminal to say when.',
      'Give --axis-moves-now SECONDS and move it within that time, or say which number it is with --label or --column and leave --known-move out.',
    )
  }
  const { input } = await import('@inquirer/prompts')
  let ended: { readonly error: unknown } | null = null
  input({ message: `${what} Then press Enter.` }, { output: process.stderr }).then(
    () => {
      ended = { error: null }
    },
    (error: unknown) => {
      ended = { error }
    },
  )
  const chunks = await source.listen(heard.link, () => ended !== null)
  const { error } = ended as unknown as { readonly error: unknown }
  if (error !== null) throw error
  return linesOf(chunks, heard.link)
}

function unscaledText({ shape }: LearnedAxis): string {
  return shape.unit === null
    ? "What a number is worth is not known, so the machine's unit is used. A known move shows it: --known-move 0.1in."
    : `The unit ${shape.unit} is taken from the lines.`
}

/** The name to keep the profile by; null where it is not to be kept. */
async function nameToSave(options: LearnOptions): Promise<string | null> {
  if (options.yes) return options.saveAs ?? null
  if (!canAsk()) return null
  const { confirm, input } = await import('@inquirer/prompts')
  const output = { output: process.stderr }
  if (options.saveAs !== undefined) {
    return (await confirm({ message: `Save this as ${options.saveAs}?`, default: true }, output))
      ? options.saveAs
      : null
  }
  const message = 'Save this under which name? Leave empty not to save:'
  const validate = (name: string) => whyNotAName(name.trim(), options.replace === true)
  const name = (await input({ message, validate }, output)).trim()
  return name === '' ? null : name
}

/** True for a name that can be kept, else what is wrong with it, for the question to be asked again. */
async function whyNotAName(name: string, replace: boolean): Promise<true | string> {
  if (name === '') return true
  try {
    await checkProfileName(name, replace)
    return true
  } catch (error) {
    if (error instanceof UsageError) return onCommandLine(error.inFull)
    throw error
  }
}

function present(
  profile: ReadoutProfile,
  savedTo: string | null,
  options: LearnOptions,
  document: object,
): void {
  if (options.json) {
    printJson({ ...document, measured: profile.measured ?? null, profile, savedTo })
  } else if (savedTo === null) {
    printResult(JSON.stringify(profile, null, 2))
    say('Not saved. Save it with --save-as NAME --yes, or keep what is printed above as a file.')
  } else {
    printResult(`Saved as ${profile.name} in ${savedTo}.`)
    say(`Use it with: tablepace traverse --port ${options.port} --readout ${profile.name} --dial D`)
  }
}
