export { tablesToCsv } from './table-csv.js'
export { tablesToJson } from './table-document.js'
export { writeFileAtomically } from './write-file.js'
