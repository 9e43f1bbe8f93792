/**
 * Writes a file whole or not at all: to a temporary name beside it, synced, then renamed.
 * @throws FileError `file-not-written` naming the place and the cause
 */
export declare function writeFileAtomically(path: string, content: string | Uint8Array): void
