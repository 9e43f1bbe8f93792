export { candidates, type KnownNames } from './candidates.js'
export { completionScript, SHELLS, type Shell } from './scripts.js'
