import { readCuttingData } from '../../jobs/index.js'
import type { CutterRow, MaterialData, Sourced } from '../../planning/cut/index.js'
import { fromMm, fromMPerMin } from '../../units/index.js'
import { bothChipLoads, bothSpeeds } from '../../words/both-systems.js'
import type { GlobalOptions } from '../context.js'
import { textTable } from '../render/text-table.js'
import { printJson, printResult, say } from '../terminal.js'
import { materialNamed } from './starting-values.js'

/** `materials [NAME]`: every starting value with its source, in both systems. */
export async function materials(name: string | undefined, options: GlobalOptions): Promise<void> {
  const data = await readCuttingData()
  const shown = name === undefined ? data.materials : [materialNamed(name, data)]
  if (options.json) {
    return printJson({ materials: shown.map(materialJson), ownFile: data.ownFile, hasOwn: data.hasOwn })
  }
  printResult(
    textTable(
      ['material', 'value', '', 'status', 'source'].map((title) => ({ title, align: 'left' as const })),
      shown.flatMap(rowsOf),
    ),
  )
  say(
    data.hasOwn
      ? `With your own rows from ${data.ownFile}.`
      : `Your own rows would be in ${data.ownFile}; there is none yet.`,
  )
  say(
    'Every value is a starting point: begin below it; the cutter maker and the machine’s manual come first.',
  )
}

function rowsOf(material: MaterialData): string[][] {
  const { name, specificEnergy, cutters } = material
  const row = (value: string, size: string, { status, source }: Sourced) => [
    name,
    value,
    size,
    status,
    source,
  ]
  return [
    ...cutters.flatMap(({ cutterMaterial, cuttingSpeed, chipLoad }) => [
      ...(cuttingSpeed === null
        ? []
        : [
            row(`${cutterMaterial}, speed`, bothSpeeds(cuttingSpeed.cuttingSpeedMPerMin, 'in'), cuttingSpeed),
          ]),
      ...(chipLoad === null
        ? []
        : [
            row(
              `${cutterMaterial}, chip load`,
              bothChipLoads(chipLoad.lowMm, 'in', chipLoad.highMm),
              chipLoad,
            ),
          ]),
    ]),
    ...(specificEnergy === null
      ? []
      : [
          row(
            'specific energy',
            `${[...new Set([specificEnergy.lowWsPerMm3, specificEnergy.highWsPerMm3])].join(' … ')} W s/mm³`,
            specificEnergy,
          ),
        ]),
  ]
}

function materialJson({ name, also, specificEnergy, cutters }: MaterialData): unknown {
  return {
    name,
    also,
    cutters: cutters.map(cutterJson),
    specificEnergy:
      specificEnergy === null
        ? null
        : {
            low: specificEnergy.lowWsPerMm3,
            high: specificEnergy.highWsPerMm3,
            unit: 'W s/mm3',
            ...sourceJson(specificEnergy),
          },
  }
}

function cutterJson({ cutterMaterial, cuttingSpeed, chipLoad }: CutterRow): unknown {
  return {
    cutterMaterial,
    cuttingSpeed:
      cuttingSpeed === null
        ? null
        : {
            ftPerMin: fromMPerMin(cuttingSpeed.cuttingSpeedMPerMin, 'ft/min'),
            mPerMin: cuttingSpeed.cuttingSpeedMPerMin,
            ...sourceJson(cuttingSpeed),
          },
    chipLoad:
      chipLoad === null
        ? null
        : {
            lowIn: fromMm(chipLoad.lowMm, 'in'),
            highIn: fromMm(chipLoad.highMm, 'in'),
            lowMm: chipLoad.lowMm,
            highMm: chipLoad.highMm,
            forDiameterMm: chipLoad.forDiameterMm,
            ...sourceJson(chipLoad),
          },
  }
}

function sourceJson({ source, status }: Sourced): Sourced {
  return { source, status }
}
