/** What happened at a cut, as the user noted it; rows never change. */
export const CUT_NOTES = /* sql */ `
CREATE TABLE cut_note (
  id INTEGER PRIMARY KEY,
  machine_id INTEGER NOT NULL REFERENCES machine (id),
  at TEXT NOT NULL CHECK (at GLOB '????-??-??T*Z'),
  kind TEXT NOT NULL CHECK (length(kind) > 0),
  pass TEXT NOT NULL CHECK (pass IN ('roughing', 'finishing')),
  material TEXT NOT NULL CHECK (length(material) > 0),
  cutter_material TEXT NOT NULL CHECK (cutter_material IN ('hss', 'carbide')),
  diameter_mm REAL NOT NULL CHECK (diameter_mm > 0),
  teeth INTEGER NOT NULL CHECK (teeth > 0),
  rpm REAL NOT NULL CHECK (rpm > 0),
  feed_mm_per_min REAL NOT NULL CHECK (feed_mm_per_min > 0),
  width_mm REAL CHECK (width_mm > 0),
  depth_mm REAL CHECK (depth_mm > 0),
  outcome TEXT NOT NULL CHECK (outcome IN ('good', 'chatter', 'rough', 'rubbed', 'slowed', 'broke')),
  finish_um REAL CHECK (finish_um > 0),
  note TEXT NOT NULL,
  checksum INTEGER
) STRICT;
CREATE INDEX cut_note_machine ON cut_note (machine_id);
CREATE TRIGGER cut_note_no_update BEFORE UPDATE ON cut_note
BEGIN SELECT raise(ABORT, 'cut_note rows never change'); END;
CREATE TRIGGER cut_note_no_delete BEFORE DELETE ON cut_note
BEGIN SELECT raise(ABORT, 'cut_note rows never change'); END;
`
