/** Marks a file as ours in the SQLite header: the bytes "tPac" (by definition). */
export const APPLICATION_ID = 0x74506163
