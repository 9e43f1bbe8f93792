import { bundled } from '../bundled.js'

/** What is measured without a process around it, as one module: bundled from the sources as the program is. */
export function loadPieces() {
  return bundled(`
    export { LineAssembler } from './src/ingest/lines/line-assembler.js'
    export { SampleReader } from './src/ingest/recordings/sample-reader.js'
    export { steadyFeed } from './src/regression/index.js'
    export * from './src/simulation/index.js'`)
}
