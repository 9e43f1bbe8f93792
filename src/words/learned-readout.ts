import {
  type FittedScale,
  type LearnedShape,
  type LinkTrial,
  type MeasuredReadout,
  sayLink,
  sayOff,
} from '../ingest/index.js'

/** `9600 8N1: 23 lines, 12 in a row of one shape, 100 % plain text, one every 0.100 s`. */
export function trialText({ link, quality }: LinkTrial): string {
  const { bytes, printableShare, lines, runLines, roundLines, periodS } = quality
  if (bytes === 0) return `${sayLink(link)}: nothing came`
  const shapes = roundLines === 1 ? 'one shape' : `a round of ${roundLines} shapes`
  const beat = periodS === null ? 'no steady beat' : `one every ${periodS.toFixed(3)} s`
  const plain = `${Math.round(100 * printableShare)} % plain text`
  return `${sayLink(link)}: ${bytes} bytes, ${lines} lines, ${runLines} in a row of ${shapes}, ${plain}, ${beat}`
}

/** What the lines are made of, one sentence each. */
export function shapeText(shape: LearnedShape): string[] {
  const lines = shape.examples.map((example) => `"${example}"`).join(', ')
  const columns = shape.columns.map(({ label, column, role, clockUnit, decimals, sign }) => {
    const name = label === null ? `column ${column}` : label
    if (role === 'clock')
      return `${name} is the readout's own clock in ${clockUnit === 'us' ? '\u00b5s' : clockUnit}`
    if (role === 'counter') return `${name} counts the lines`
    const digits = decimals === 0 ? 'whole numbers' : `${decimals} decimals`
    return `${name} has ${digits}${sign === 'always' ? ' and always a sign' : ''}`
  })
  return [
    `A line looks like ${lines}.`,
    `In it ${columns.join('; ')}.`,
    shape.unit === null ? 'The lines carry no unit.' : `The lines carry the unit ${shape.unit}.`,
    ...(shape.decimalMark === ',' ? ['The decimal mark is a comma.'] : []),
  ]
}

/** How a known move fits the scale that it shows. */
export function scaleText(scale: FittedScale): string {
  return `The numbers are ${scale.text}: by them the known move is ${sayOff(scale.offPercent)}, and it may be off by ${Number(scale.allowedPercent.toPrecision(2))} %.`
}

/** What the arrivals tell, one sentence each; `unit` is what the numbers were found to be worth something in. */
export function measuredText(measured: MeasuredReadout, unit: 'mm' | 'deg' = 'mm'): string[] {
  const { positionStepMm, refreshHz, arrivalJitterS, mostLinesTogether, togetherShare } = measured
  return [
    `${refreshHz.toFixed(refreshHz < 10 ? 2 : 1)} readings a second; arrivals scatter by ${(1000 * arrivalJitterS).toFixed(1)} ms about an even beat.`,
    togetherShare === 0
      ? 'Every line arrives by itself.'
      : `${Math.round(100 * togetherShare)} % of the lines arrive together with others, up to ${mostLinesTogether} at once.`,
    ...(positionStepMm === null ? [] : [`It steps by ${Number(positionStepMm.toPrecision(4))} ${unit}.`]),
    ...(measured.repeatsAtRest === null
      ? []
      : [
          measured.repeatsAtRest ? 'At rest it goes on sending the same value.' : 'At rest it stops sending.',
        ]),
  ]
}
