export { fileIsStore, fileNotWritten } from './file-errors.js'
export { freeName, giveName } from './give-name.js'
export { COMPANION_SUFFIXES, finalPath, isOfStore } from './same-file.js'
export { type Destination, makeFile, makeOwnFolder, refuseTaken, writeFile } from './write-file.js'
