/**
 * Tables that came in from a file. Their runs stayed where they were measured, so that only the names of the runs are
 * kept, as text.
 */
export const IMPORTED_TABLES = /* sql */ `
CREATE TABLE imported_table (
  table_id INTEGER PRIMARY KEY REFERENCES table_version (id),
  imported_at TEXT NOT NULL CHECK (imported_at GLOB '????-??-??T*Z'),
  run_ids TEXT NOT NULL CHECK (json_type(run_ids) = 'array')
) STRICT;
CREATE TRIGGER imported_table_no_update BEFORE UPDATE ON imported_table
BEGIN SELECT raise(ABORT, 'imported_table rows never change'); END;
CREATE TRIGGER imported_table_no_delete BEFORE DELETE ON imported_table
BEGIN SELECT raise(ABORT, 'imported_table rows never change'); END;
`
