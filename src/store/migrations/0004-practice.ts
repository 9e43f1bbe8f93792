/** How people time a movement whose true times are known: the rounds as they were pressed, which never change. */
export const PRACTICE = /* sql */ `
CREATE TABLE practice (
  id INTEGER PRIMARY KEY,
  person TEXT NOT NULL COLLATE NOCASE CHECK (length(person) > 0),
  at TEXT NOT NULL CHECK (at GLOB '????-??-??T*Z'),
  rounds TEXT NOT NULL CHECK (json_type(rounds) = 'array')
) STRICT;
CREATE INDEX practice_person ON practice (person);
CREATE TRIGGER practice_no_update BEFORE UPDATE ON practice
BEGIN SELECT raise(ABORT, 'practice rows never change'); END;
CREATE TRIGGER practice_no_delete BEFORE DELETE ON practice
BEGIN SELECT raise(ABORT, 'practice rows never change'); END;
`
