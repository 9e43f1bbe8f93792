export {
  DataError,
  DeviceError,
  type FailureExitCode,
  FileError,
  StoreError,
  TablepaceError,
  UsageError,
} from './tablepace-error.js'
