export {
  CM3_PER_IN3,
  fromMPerMin,
  M_PER_FOOT,
  N_PER_LBF,
  parseCuttingSpeedMPerMin,
  parseForceN,
  parsePowerW,
  parseRoughnessUm,
  parseSpecificEnergyWsPerMm3,
  speedUnit,
  W_PER_HP,
  WS_PER_MM3_PER_HP_MIN_PER_IN3,
} from './cutting.js'
export {
  type DialInRange,
  type DialWriting,
  enteredDial,
  formatDial,
  hasLetter,
  labelled,
  lettersBetween,
  NUMBERED,
  parseDialNumber,
  parseDialSetting,
  parseEnds,
  parseMarks,
  parseRange,
  writeDial,
  writingOf,
} from './dial.js'
export {
  type DialRange,
  parseRangeNames,
  rangeAxisName,
  rangedSetting,
  settingInRange,
} from './dial-ranges.js'
export { type Direction, directionSign, directionWord, parseDirection, printedSign } from './direction.js'
export { parseDurationS, parseTime, type WrittenTime } from './duration.js'
export {
  FULL_TURN_DEG,
  fromMm,
  type LengthUnit,
  type MachineUnit,
  MM_PER_INCH,
  mmPer,
  toMm,
  unitWord,
} from './length.js'
export { parseNumber } from './number.js'
export {
  type FeedUnit,
  feedUnit,
  parseFeedAtRpmMmPerMin,
  parseFeedMmPerMin,
  parseLengthMm,
  type Quantity,
} from './quantity.js'
export {
  decimalsFor,
  feedRounding,
  formatBothLengths,
  formatFeed,
  formatInterval,
  formatLength,
  formatPercentHalfWidth,
  saidOfTurningAxis,
} from './readable.js'
export { formatSpindleSpeeds, parseSpindleSpeeds, type SpindleSpeed } from './spindle.js'
