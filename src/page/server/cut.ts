import { workedOutCut } from '../../cli/cut/cut.js'
import { changeText } from '../../cli/cut/notes.js'
import { UsageError } from '../../errors/index.js'
import { readCuttingData } from '../../jobs/index.js'
import type { Store } from '../../store/index.js'
import type { CutRequest, CutView, MaterialsAnswer } from '../api.js'

/** The fields of the page in the place of the options of the command line. */
const FIELDS: Readonly<Record<string, string>> = {
  '--diameter': 'Diameter of the cutter',
  '--teeth': 'Teeth',
  '--material': 'the work material',
  '--cutter-material': "the cutter's material",
  '--speed': 'Cutting speed',
  '--chip-load': 'Chip load',
  '--width': 'Width of cut',
  '--depth': 'Depth of cut',
  '--corner-radius': 'Corner radius',
  '--motor': 'Motor power',
}

/** Works out a cut for the page. @throws UsageError as `cut` does, with the names of the page's fields */
export async function cutView(store: Store, request: CutRequest): Promise<CutView> {
  const axis = store.axes.byId(request.axisId)
  const { unit } = request
  const machine = { ...store.machines.byId(axis.machineId), unit }
  const { axisId: _, unit: __, direction, cutterMaterial, diameter, teeth, ...others } = request
  const given = Object.entries(others).filter(([, text]) => text.trim() !== '')
  try {
    const { values, answer, notes } = await workedOutCut(
      store,
      { machine, axis },
      {
        ...{ diameter, teeth },
        ...Object.fromEntries(given),
        ...(direction === '' ? {} : { direction }),
        ...(cutterMaterial === '' ? {} : { cutterMaterial }),
      },
    )
    return {
      answer,
      cuttingSpeedMPerMin: values.cuttingSpeedMPerMin,
      chipLoadMm: values.chipLoadMm,
      range: values.range,
      changes: answer.changes.map((change) => changeText(change, unit)),
      warnings: notes.warnings,
      cautions: notes.cautions.slice(notes.warnings.length),
      sources: notes.sources.map((source) => source.replace('given on the command line', 'given here')),
    }
  } catch (error) {
    if (!(error instanceof UsageError)) throw error
    throw new UsageError(error.code, inFields(error.message), inFields(error.hint), { cause: error })
  }
}

/** The materials by name. */
export async function materials(): Promise<MaterialsAnswer> {
  return { materials: (await readCuttingData()).materials.map((material) => material.name) }
}

function inFields(text: string): string {
  return text.replace(/--[a-z-]+/g, (option) => FIELDS[option] ?? option)
}
