export { type Said, Sentence, sentence } from './sentence.js'
export {
  DataError,
  DeviceError,
  FileError,
  StoreError,
  TablepaceError,
  UsageError,
} from './tablepace-error.js'
export { type Ways, type Wording, way } from './ways.js'
