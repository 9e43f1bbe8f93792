/** Runs at one setting that are advised at most. Judgement: more take half an hour, and what changes in that time is no scatter. */
export const MOST_AT_SETTING = 30
