import { CUTTER_KINDS, type CutField, type CutProblem } from '../../planning/cut/index.js'
import { fromMm, type MachineUnit } from '../../units/index.js'
import { bothLengths } from '../both-systems.js'

/** How a face calls what a cut is asked for with, such as an option or a field. */
export type CutFieldNames = Readonly<Record<CutField, string>>

/** Something a value can look like, for each field. */
const EXAMPLES: CutFieldNames = {
  diameter: '0.5in',
  teeth: '4',
  material: '"mild steel"',
  cutter: '"face mill"',
  cutterMaterial: 'hss or carbide',
  speed: '90ft/min',
  chipLoad: '0.003in',
  width: '0.25in',
  depth: '0.1in',
  stickOut: '1.5in',
  cornerRadius: '0.8mm',
  specificEnergy: '2.7Ws/mm3',
  motor: '1.5hp',
  push: '60lbf',
  rpm: '620',
  feed: '5in/min',
  finish: '1.6um',
}

/** Why a cut cannot be worked out, to be thrown by a face under its code. */
interface ProblemWords {
  readonly code: string
  readonly message: string
  readonly hint: string
}

/** A problem with a cut in the words of a face. */
export function cutProblemWords(
  problem: CutProblem,
  names: CutFieldNames,
  { unit, ownFile }: { readonly unit: MachineUnit; readonly ownFile: string },
): ProblemWords {
  const like = (field: CutField) => `${names[field]} ${EXAMPLES[field]}`
  switch (problem.problem) {
    case 'not-positive':
      return bad(`${names[problem.field]} must be above 0.`, `Give it like ${like(problem.field)}.`)
    case 'bad-teeth':
      return bad(`A cutter cannot have ${problem.teeth} teeth.`, `Give a whole number like ${like('teeth')}.`)
    case 'no-teeth':
      return bad(
        `The number of teeth of this ${problem.kind} is not given.`,
        `Count them and give them like ${like('teeth')}.`,
      )
    case 'wider-than-cutter':
      return bad(
        'The cut is wider than the cutter.',
        `Give the width across the cutter with ${names.width}, the diameter at most, and the depth with ${names.depth}.`,
      )
    case 'held-inside-the-cut':
      return bad(
        'The cutter would go in deeper than it sticks out of its holder.',
        `Give a length above the depth of the cut with ${names.stickOut}, or take less depth.`,
      )
    case 'unlikely-size':
      return { code: 'unlikely-size', ...unlikelySize(problem, names, unit) }
    case 'unknown-cutter':
      return {
        code: 'unknown-cutter',
        message: `There is no kind of cutter called "${problem.name}".`,
        hint: `Give ${names.cutter} as one of ${CUTTER_KINDS.join(', ')}.`,
      }
    case 'unknown-material':
      return {
        code: 'unknown-material',
        message: `There is no material "${problem.name}" among the starting values.`,
        hint: `There are ${problem.known.join(', ')}. Give ${names.speed} and ${names.chipLoad} yourself, or add the material to ${ownFile}.`,
      }
    case 'no-material':
      return noValues(
        `There is no ${problem.lacking} to start from.`,
        `Give it like ${like(problem.lacking === 'chip load' ? 'chipLoad' : 'speed')}, or name ${names.material} and ${names.cutterMaterial}.`,
      )
    case 'no-cutter-material':
      return noValues(
        `What the cutter for ${problem.material} is made of is not given.`,
        `Give ${names.cutterMaterial}: hss or carbide.`,
      )
    case 'no-row':
      return noValues(
        `The starting values for ${problem.material} have no ${problem.lacking} for a cutter of ${problem.cutterMaterial}, kind ${problem.kind}.`,
        `Give your own with ${names.speed} and ${names.chipLoad}.`,
      )
  }
}

function bad(message: string, hint: string): ProblemWords {
  return { code: 'bad-cut', message, hint }
}

function noValues(message: string, hint: string): ProblemWords {
  return { code: 'no-cutting-values', message, hint }
}

const WHOSE: Partial<Record<string, string>> = {
  turning: 'work that a manual lathe turns',
  boring: 'hole that is bored on a manual machine',
}

function unlikelySize(
  problem: CutProblem & { problem: 'unlikely-size' },
  names: CutFieldNames,
  unit: MachineUnit,
): { message: string; hint: string } {
  const { kind, diameterMm, rangeMm, otherUnitFits } = problem
  const small = diameterMm < rangeMm[0]
  const whose = WHOSE[kind] ?? `${kind} that a manual machine holds`
  const message = `A diameter of ${bothLengths(diameterMm, unit)} is ${small ? 'smaller' : 'larger'} than any ${whose}; they go from ${bothLengths(rangeMm[0], unit)} to ${bothLengths(rangeMm[1], unit)}.`
  const other = unit === 'in' ? 'mm' : 'in'
  const number = Number(fromMm(diameterMm, unit).toPrecision(6))
  const unitHint = otherUnitFits
    ? `Is the unit wrong? If ${other === 'mm' ? 'millimetres' : 'inches'} were meant, write ${names.diameter} ${number}${other}. `
    : 'Check the number and its unit. '
  return {
    message,
    hint: `${unitHint}If it is another kind of cutter, say so with ${names.cutter}, such as "face mill".`,
  }
}
