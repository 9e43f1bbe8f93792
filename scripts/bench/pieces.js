import { bundled } from '../bundled.js'

/** What is measured without a process around it, as one module: bundled from the sources as the program is. */
export function loadPieces() {
  return bundled(`
    export { LineAssembler } from './src/ingest/line-assembler.ts'
    export { SampleReader } from './src/ingest/sample-reader.ts'
    export { steadyFeed } from './src/regression/index.ts'
    export * from './src/simulation/index.ts'`)
}
