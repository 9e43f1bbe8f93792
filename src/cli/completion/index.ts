export { candidates } from './candidates.js'
export { completionScript, type Shell } from './scripts.js'
