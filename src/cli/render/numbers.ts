// The command line and the page show numbers alike; how is decided in one place.
export {
  decimalsFor,
  formatDial,
  formatFeed,
  formatInterval,
  formatLength,
  formatPercentHalfWidth,
} from '../../units/index.js'
