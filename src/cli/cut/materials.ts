import { UsageError } from '../../errors/index.js'
import { type CuttingData, readCuttingData } from '../../jobs/index.js'
import {
  type CutterRow,
  findMaterial,
  type MaterialData,
  type OtherFigure,
  type Sourced,
} from '../../planning/cut/index.js'
import { fromMm, fromMPerMin } from '../../units/index.js'
import { bothChipLoads, bothLengths, bothSpeeds } from '../../words/both-systems.js'
import { cutProblemWords } from '../../words/index.js'
import type { GlobalOptions } from '../context.js'
import { textTable } from '../render/text-table.js'
import { printJson, printResult, say } from '../terminal/terminal.js'
import { CUT_OPTIONS } from './options.js'

/** `materials [NAME]`: every starting value with its source, in both systems. */
export async function materials(name: string | undefined, options: GlobalOptions): Promise<void> {
  const data = await readCuttingData()
  const shown = name === undefined ? data.materials : [materialNamed(name, data)]
  if (options.json) {
    return printJson({ materials: shown.map(materialJson), ownFile: data.ownFile, hasOwn: data.hasOwn })
  }
  const sources = new NumberedSources()
  const rows = shown.flatMap((material) => [
    {
      heading: material.also.length === 0 ? material.name : `${material.name} (${material.also.join(', ')})`,
    },
    ...rowsOf(material, sources),
  ])
  printResult(
    [
      textTable(
        ['cutter', 'starting value', 'source'].map((title) => ({ title, align: 'left' as const })),
        rows,
      ),
      '',
      'Sources',
      ...sources.lines(),
    ].join('\n'),
  )
  say(
    data.hasOwn
      ? `Includes your own rows from ${data.ownFile}.`
      : `Your own rows go into ${data.ownFile}; there are none yet.`,
  )
  say(
    "Every value is a starting point: begin below it; the cutter maker's data and the machine's manual come first.",
  )
}

/** @throws UsageError `unknown-material` naming the known ones */
function materialNamed(name: string, { materials: all, ownFile }: CuttingData): MaterialData {
  const found = findMaterial(all, name)
  if (found !== null) return found
  const problem = { problem: 'unknown-material', name, known: all.map((one) => one.name) } as const
  const { code, message, hint } = cutProblemWords(problem, CUT_OPTIONS, { unit: 'in', ownFile })
  throw new UsageError(code, message, hint)
}

function rowsOf({ specificEnergy, cutters }: MaterialData, sources: NumberedSources): string[][] {
  const row = (value: string, size: string, from: Sourced) => [value, size, sources.reference(from)]
  return [
    ...cutters.flatMap(({ cutterMaterial, kinds, cuttingSpeed, chipLoad }) => {
      const tool = kinds === null ? cutterMaterial : `${cutterMaterial}, ${kinds.join(', ')}`
      return [
        ...(cuttingSpeed === null
          ? []
          : [
              row(`${tool}: speed`, bothSpeeds(cuttingSpeed.cuttingSpeedMPerMin, 'in'), cuttingSpeed),
              ...cuttingSpeed.others.map((other) => row('others print', speedRange(other), other)),
            ]),
        ...(chipLoad?.sizes ?? []).map(({ lowMm, highMm, forDiameterMm }) =>
          row(
            `${tool}: chip load${forDiameterMm === null ? '' : ` at ${bothLengths(forDiameterMm, 'in')}`}`,
            bothChipLoads(lowMm, 'in', highMm),
            chipLoad!,
          ),
        ),
      ]
    }),
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

/** Sources, each with how sure it is, by the number that stands in the table. */
class NumberedSources {
  readonly #names: string[] = []

  reference({ source, status }: Sourced): string {
    const name = source.includes(status) ? source : `${source} (${status})`
    if (!this.#names.includes(name)) this.#names.push(name)
    return `[${this.#names.indexOf(name) + 1}]`
  }

  lines(): string[] {
    return this.#names.map((name, index) => `  [${index + 1}] ${name}`)
  }
}

function speedRange({ low, high }: OtherFigure): string {
  return low === high ? bothSpeeds(low, 'in') : `${bothSpeeds(low, 'in')} … ${bothSpeeds(high, 'in')}`
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

function cutterJson({ cutterMaterial, kinds, cuttingSpeed, chipLoad }: CutterRow): unknown {
  const length = (valueMm: number) => ({ in: fromMm(valueMm, 'in'), mm: valueMm })
  const speed = (mPerMin: number) => ({ ftPerMin: fromMPerMin(mPerMin, 'ft/min'), mPerMin })
  const others = (figures: readonly OtherFigure[], say: (value: number) => unknown) =>
    figures.map((one) => ({ low: say(one.low), high: say(one.high), ...sourceJson(one) }))
  return {
    cutterMaterial,
    kinds,
    cuttingSpeed:
      cuttingSpeed === null
        ? null
        : {
            ...speed(cuttingSpeed.cuttingSpeedMPerMin),
            ...sourceJson(cuttingSpeed),
            others: others(cuttingSpeed.others, speed),
          },
    chipLoad:
      chipLoad === null
        ? null
        : {
            sizes: chipLoad.sizes.map(({ lowMm, highMm, forDiameterMm }) => ({
              ...{ lowIn: fromMm(lowMm, 'in'), highIn: fromMm(highMm, 'in') },
              ...{ lowMm, highMm, forDiameterMm },
            })),
            finishing: chipLoad.finishing,
            ...sourceJson(chipLoad),
            others: others(chipLoad.others, length),
          },
  }
}

function sourceJson({ source, status }: Sourced): Sourced {
  return { source, status }
}
