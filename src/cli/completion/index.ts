export { candidates, type KnownNames } from './candidates.js'
export { completionScript, type Shell } from './scripts.js'
