// A door of its own: only a lookup under load loads it.
export { type LoadCorrection, loadCorrection } from './load-correction.js'
export { loadedTable } from './loaded-table.js'
