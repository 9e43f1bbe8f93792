import { UsageError } from '../../../errors/index.js'
import { type AskedCut, cautionsFor, noteCut, readCuttingData, workOutCut } from '../../../jobs/index.js'
import type { Store } from '../../../store/index.js'
import {
  type MachineUnit,
  parseCuttingSpeedMPerMin,
  parseFeedMmPerMin,
  parseForceN,
  parseLengthMm,
  parseNumber,
  parsePowerW,
  parseRoughnessUm,
} from '../../../units/index.js'
import {
  type CutFieldNames,
  cutChangeText,
  cutNotes,
  cutNoteText,
  cutProblemWords,
  noDialWords,
} from '../../../words/index.js'
import type { CutNoteAnswer, CutNoteRequest, CutRequest, CutView, MaterialsAnswer } from '../../api.js'

/** The fields of the page by what they are of the cut. */
const FIELDS: CutFieldNames = {
  diameter: 'Diameter of the cutter',
  teeth: 'Teeth',
  material: 'the work material',
  cutter: 'the kind of cutter',
  cutterMaterial: "the cutter's material",
  speed: 'Cutting speed',
  chipLoad: 'Chip load',
  width: 'Width of cut',
  depth: 'Depth of cut',
  stickOut: 'Stick-out',
  cornerRadius: 'Corner radius',
  specificEnergy: 'Specific energy',
  motor: 'Motor power',
  push: 'Push of the feed drive',
  rpm: 'Spindle speed',
  feed: 'Feed',
  finish: 'Measured roughness',
}

/** Works out a cut for the page. @throws UsageError in the names of the page's fields */
export async function cutView(store: Store, request: CutRequest): Promise<CutView> {
  const axis = store.axes.byId(request.axisId)
  const { unit } = request
  const machine = { ...store.machines.byId(axis.machineId), unit }
  const outcome = await workOutCut(store, { machine, axis }, askedCut(request, unit))
  if (outcome.problem !== null) {
    const { ownFile } = outcome
    const { code, message, hint } = cutProblemWords(outcome.problem, FIELDS, { unit, ownFile })
    throw new UsageError(code, message, hint)
  }
  const { answer, values } = outcome.cut
  const notes = cutNotes(outcome.cut, cautionsFor('beforeCut'), machine)
  return {
    answer,
    noDial: noDialWords(answer, unit)?.hint ?? null,
    cuttingSpeedMPerMin: values.cuttingSpeedMPerMin,
    chipLoadMm: values.chipLoadMm,
    range: values.range,
    changes: answer.changes.map((change) => cutChangeText(change, unit)),
    warnings: notes.warnings,
    cautions: notes.cautions.slice(notes.warnings.length),
    sources: notes.sources,
  }
}

/** Keeps what happened at a cut. @throws UsageError in the names of the page's fields */
export async function keepCutNote(store: Store, request: CutNoteRequest, at: string): Promise<CutNoteAnswer> {
  const { unit, axisId, diameter, teeth, rpm, feed, width, depth, finish, material, ...kept } = request
  const machine = { ...store.machines.byId(store.axes.byId(axisId).machineId), unit }
  const length = (text: string, what: string) => typed(text, (given) => parseLengthMm(given, unit, what))
  const noted = await noteCut(
    store,
    machine,
    {
      ...kept,
      materialName: material,
      diameterMm: parseLengthMm(diameter, unit, FIELDS.diameter),
      teeth: typed(teeth, (text) => parseNumber(text, FIELDS.teeth)),
      rpm: parseNumber(rpm, FIELDS.rpm),
      feedMmPerMin: parseFeedMmPerMin(feed, unit, FIELDS.feed),
      widthMm: length(width, FIELDS.width),
      depthMm: length(depth, FIELDS.depth),
      finishUm: typed(finish, (text) => parseRoughnessUm(text, FIELDS.finish)),
    },
    at,
  )
  if (noted.problem !== null) {
    const { problem, ownFile } = noted
    const { code, message, hint } = cutProblemWords(problem, FIELDS, { unit, ownFile })
    throw new UsageError(code, message, hint)
  }
  return { text: cutNoteText(noted.note, unit) }
}

/** The materials by name. */
export async function materials(): Promise<MaterialsAnswer> {
  return { materials: (await readCuttingData()).materials.map((material) => material.name) }
}

/** Reads what was typed; an empty field says nothing. @throws UsageError naming the field */
function askedCut(request: CutRequest, unit: MachineUnit): AskedCut {
  const length = (text: string, what: string) => typed(text, (given) => parseLengthMm(given, unit, what))
  const { direction, cutterMaterial, speed, motor } = request
  return {
    cutter: request.cutter ?? 'end mill',
    pass: request.pass ?? 'roughing',
    diameterMm: parseLengthMm(request.diameter, unit, FIELDS.diameter),
    teeth: typed(request.teeth, (text) => parseNumber(text, FIELDS.teeth)),
    materialName: typed(request.material, (name) => name),
    cutterMaterial: cutterMaterial === '' ? null : cutterMaterial,
    cuttingSpeedMPerMin: typed(speed, (text) => parseCuttingSpeedMPerMin(text, unit, FIELDS.speed)),
    chipLoadMm: length(request.chipLoad, FIELDS.chipLoad),
    widthMm: length(request.width, FIELDS.width),
    depthMm: length(request.depth, FIELDS.depth),
    stickOutMm: length(request.stickOut ?? '', FIELDS.stickOut),
    cornerRadiusMm: length(request.cornerRadius, FIELDS.cornerRadius),
    specificEnergyWsPerMm3: null,
    motorPowerW: typed(motor, (text) => parsePowerW(text, FIELDS.motor)),
    feedPushN: typed(request.push ?? '', (text) => parseForceN(text, unit, FIELDS.push)),
    workSide: request.workSide ?? null,
    rotation: request.rotation ?? 'cw',
    direction: direction === '' ? null : direction === '+' ? 1 : -1,
    underCut: false,
  }
}

function typed<T>(text: string, parse: (text: string) => T): T | null {
  return text.trim() === '' ? null : parse(text)
}
