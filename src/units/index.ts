export { fromMm, type LengthUnit, MM_PER_INCH, mmPer, toMm } from './length.js'
export {
  type FeedUnit,
  feedUnit,
  parseDurationS,
  parseFeedMmPerMin,
  parseLengthMm,
  parseNumber,
  type Quantity,
} from './quantity.js'
