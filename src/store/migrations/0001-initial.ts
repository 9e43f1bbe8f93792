/**
 * The first schema. Every table is STRICT; every number is finite by CHECK, because a STRICT REAL would still take an
 * infinity and NaN arrives as NULL. What was measured or concluded is guarded by triggers against change.
 */
export const INITIAL = /* sql */ `
CREATE TABLE machine (
  id INTEGER PRIMARY KEY,
  name TEXT NOT NULL COLLATE NOCASE CHECK (length(name) > 0),
  unit TEXT NOT NULL CHECK (unit IN ('in', 'mm')),
  spindle_rpm TEXT NOT NULL CHECK (json_type(spindle_rpm) = 'array'),
  created_at TEXT NOT NULL CHECK (created_at GLOB '????-??-??T*Z'),
  removed_at TEXT CHECK (removed_at GLOB '????-??-??T*Z')
) STRICT;
CREATE UNIQUE INDEX machine_name ON machine (name) WHERE removed_at IS NULL;

CREATE TABLE axis (
  id INTEGER PRIMARY KEY,
  machine_id INTEGER NOT NULL REFERENCES machine (id),
  name TEXT NOT NULL COLLATE NOCASE CHECK (length(name) > 0),
  travel_mm REAL NOT NULL CHECK (travel_mm > 0 AND travel_mm < 1e308),
  dial_min REAL NOT NULL CHECK (abs(dial_min) < 1e308),
  dial_max REAL NOT NULL CHECK (abs(dial_max) < 1e308),
  marks TEXT NOT NULL CHECK (json_type(marks) = 'array'),
  stepped INTEGER NOT NULL CHECK (stepped IN (0, 1)),
  leadscrew_pitch_mm REAL CHECK (leadscrew_pitch_mm > 0 AND leadscrew_pitch_mm < 1e308),
  dial_clicks INTEGER NOT NULL CHECK (dial_clicks IN (0, 1)),
  created_at TEXT NOT NULL CHECK (created_at GLOB '????-??-??T*Z'),
  removed_at TEXT CHECK (removed_at GLOB '????-??-??T*Z'),
  CHECK (dial_min < dial_max)
) STRICT;
CREATE UNIQUE INDEX axis_name ON axis (machine_id, name) WHERE removed_at IS NULL;

CREATE TABLE session (
  id INTEGER PRIMARY KEY,
  axis_id INTEGER NOT NULL REFERENCES axis (id),
  procedure TEXT NOT NULL,
  plan TEXT NOT NULL CHECK (json_valid(plan)),
  source TEXT NOT NULL CHECK (source IN ('readout', 'stopwatch')),
  started_at TEXT NOT NULL CHECK (started_at GLOB '????-??-??T*Z'),
  ended_at TEXT CHECK (ended_at GLOB '????-??-??T*Z')
) STRICT;
CREATE INDEX session_axis ON session (axis_id);

CREATE TABLE recording (
  id TEXT NOT NULL PRIMARY KEY CHECK (length(id) = 26),
  axis_id INTEGER NOT NULL REFERENCES axis (id),
  session_id INTEGER REFERENCES session (id),
  step INTEGER CHECK (step > 0),
  source TEXT NOT NULL CHECK (source IN ('readout', 'stopwatch')),
  dial REAL CHECK (abs(dial) < 1e308),
  rapid INTEGER NOT NULL CHECK (rapid IN (0, 1)),
  dial_reset INTEGER NOT NULL CHECK (dial_reset IN (0, 1)),
  origin TEXT NOT NULL,
  readout TEXT NOT NULL CHECK (json_valid(readout)),
  units TEXT NOT NULL CHECK (json_valid(units)),
  tags TEXT NOT NULL CHECK (json_type(tags) = 'object'),
  note TEXT,
  started_at TEXT NOT NULL CHECK (started_at GLOB '????-??-??T*Z'),
  ended_at TEXT CHECK (ended_at GLOB '????-??-??T*Z'),
  CHECK (rapid = 0 OR dial IS NULL),
  CHECK (session_id IS NOT NULL OR step IS NULL)
) STRICT;
CREATE INDEX recording_axis ON recording (axis_id);
CREATE INDEX recording_session ON recording (session_id) WHERE session_id IS NOT NULL;

-- The raw lines exactly as they are exported, a piece for every time they were handed over.
CREATE TABLE recording_piece (
  recording_id TEXT NOT NULL REFERENCES recording (id),
  sequence INTEGER NOT NULL CHECK (sequence >= 0),
  lines TEXT NOT NULL CHECK (length(lines) > 0),
  PRIMARY KEY (recording_id, sequence)
) STRICT;

CREATE TABLE stopwatch_entry (
  recording_id TEXT NOT NULL PRIMARY KEY REFERENCES recording (id),
  distance_mm REAL NOT NULL CHECK (distance_mm > 0 AND distance_mm < 1e308),
  duration_s REAL NOT NULL CHECK (duration_s > 0 AND duration_s < 1e308),
  direction INTEGER NOT NULL CHECK (direction IN (1, -1)),
  marks TEXT NOT NULL CHECK (json_valid(marks))
) STRICT;

CREATE TABLE run (
  id TEXT NOT NULL PRIMARY KEY CHECK (length(id) = 26),
  recording_id TEXT NOT NULL REFERENCES recording (id),
  ordinal INTEGER NOT NULL CHECK (ordinal >= 0),
  dial REAL CHECK (abs(dial) < 1e308),
  rapid INTEGER NOT NULL CHECK (rapid IN (0, 1)),
  direction INTEGER NOT NULL CHECK (direction IN (1, -1)),
  accepted INTEGER NOT NULL CHECK (accepted IN (0, 1)),
  rejection_code TEXT,
  rejection_message TEXT,
  feed_mm_per_min REAL CHECK (feed_mm_per_min > 0 AND feed_mm_per_min < 1e308),
  feed_u_mm_per_min REAL CHECK (feed_u_mm_per_min >= 0 AND feed_u_mm_per_min < 1e308),
  -- NULL beside a feed: infinitely many degrees of freedom.
  feed_degrees_of_freedom REAL CHECK (feed_degrees_of_freedom > 0 AND feed_degrees_of_freedom < 1e308),
  feed_low_mm_per_min REAL CHECK (abs(feed_low_mm_per_min) < 1e308),
  feed_high_mm_per_min REAL CHECK (abs(feed_high_mm_per_min) < 1e308),
  ripple_period_mm REAL CHECK (ripple_period_mm > 0 AND ripple_period_mm < 1e308),
  ripple_amplitude_mm REAL CHECK (abs(ripple_amplitude_mm) < 1e308),
  phase_start_s REAL CHECK (abs(phase_start_s) < 1e308),
  phase_steady_from_s REAL CHECK (abs(phase_steady_from_s) < 1e308),
  phase_steady_to_s REAL CHECK (abs(phase_steady_to_s) < 1e308),
  phase_end_s REAL CHECK (abs(phase_end_s) < 1e308),
  distance_mm REAL NOT NULL CHECK (distance_mm >= 0 AND distance_mm < 1e308),
  duration_s REAL NOT NULL CHECK (duration_s >= 0 AND duration_s < 1e308),
  coast_mm REAL CHECK (abs(coast_mm) < 1e308),
  coast_u_mm REAL CHECK (coast_u_mm >= 0 AND coast_u_mm < 1e308),
  samples TEXT NOT NULL CHECK (json_type(samples) = 'object'),
  warnings TEXT NOT NULL CHECK (json_type(warnings) = 'array'),
  judged_with TEXT NOT NULL,
  window_start_s REAL CHECK (abs(window_start_s) < 1e308),
  window_end_s REAL CHECK (abs(window_end_s) < 1e308),
  dropped_at TEXT CHECK (dropped_at GLOB '????-??-??T*Z'),
  drop_reason TEXT,
  created_at TEXT NOT NULL CHECK (created_at GLOB '????-??-??T*Z'),
  UNIQUE (recording_id, ordinal),
  CHECK ((rapid = 1) = (dial IS NULL)),
  CHECK ((accepted = 1) = (rejection_code IS NULL)),
  CHECK ((rejection_code IS NULL) = (rejection_message IS NULL)),
  CHECK (accepted = 0 OR feed_mm_per_min IS NOT NULL),
  CHECK ((feed_mm_per_min IS NULL) = (feed_u_mm_per_min IS NULL)),
  CHECK ((feed_mm_per_min IS NULL) = (feed_low_mm_per_min IS NULL)),
  CHECK ((feed_mm_per_min IS NULL) = (feed_high_mm_per_min IS NULL)),
  CHECK ((ripple_period_mm IS NULL) = (ripple_amplitude_mm IS NULL)),
  CHECK ((phase_start_s IS NULL) = (phase_steady_from_s IS NULL)),
  CHECK ((phase_start_s IS NULL) = (phase_steady_to_s IS NULL)),
  CHECK ((phase_start_s IS NULL) = (phase_end_s IS NULL)),
  CHECK (coast_u_mm IS NULL OR coast_mm IS NOT NULL),
  CHECK ((window_start_s IS NULL) = (window_end_s IS NULL)),
  CHECK ((dropped_at IS NULL) = (drop_reason IS NULL))
) STRICT;

CREATE TABLE fit (
  id INTEGER PRIMARY KEY,
  axis_id INTEGER NOT NULL REFERENCES axis (id),
  fitted_at TEXT NOT NULL CHECK (fitted_at GLOB '????-??-??T*Z'),
  method_name TEXT NOT NULL,
  method_version TEXT NOT NULL,
  reason TEXT,
  difference TEXT NOT NULL CHECK (json_valid(difference)),
  noise TEXT NOT NULL CHECK (json_valid(noise))
) STRICT;

-- Marks and curve are one JSON text each: a version is written once and always read whole, and parsing one text takes
-- 0.4 of the time of reading 201 rows of a child table. Run ids are rows, because they point at runs.
CREATE TABLE table_version (
  id INTEGER PRIMARY KEY,
  fit_id INTEGER NOT NULL REFERENCES fit (id),
  axis_id INTEGER NOT NULL REFERENCES axis (id),
  direction INTEGER NOT NULL CHECK (direction IN (1, -1)),
  version INTEGER NOT NULL CHECK (version > 0),
  parent_version INTEGER CHECK (parent_version > 0 AND parent_version < version),
  stepped INTEGER NOT NULL CHECK (stepped IN (0, 1)),
  marks TEXT NOT NULL CHECK (json_type(marks) = 'array'),
  curve TEXT NOT NULL CHECK (json_type(curve) = 'array'),
  warnings TEXT NOT NULL CHECK (json_type(warnings) = 'array'),
  hash TEXT NOT NULL CHECK (length(hash) = 64),
  UNIQUE (axis_id, direction, version)
) STRICT;

CREATE TABLE table_run (
  table_id INTEGER NOT NULL REFERENCES table_version (id),
  ordinal INTEGER NOT NULL CHECK (ordinal >= 0),
  run_id TEXT NOT NULL REFERENCES run (id),
  PRIMARY KEY (table_id, ordinal)
) STRICT, WITHOUT ROWID;
CREATE INDEX table_run_run ON table_run (run_id);

CREATE TABLE recheck (
  id INTEGER PRIMARY KEY,
  axis_id INTEGER NOT NULL REFERENCES axis (id),
  at TEXT NOT NULL CHECK (at GLOB '????-??-??T*Z'),
  reason TEXT NOT NULL,
  within_percent REAL NOT NULL CHECK (within_percent > 0 AND within_percent < 1e308),
  verdict TEXT NOT NULL CHECK (verdict IN ('holds', 'moved', 'undecided')),
  result TEXT NOT NULL CHECK (json_valid(result)),
  run_ids TEXT NOT NULL CHECK (json_type(run_ids) = 'array'),
  tables TEXT NOT NULL CHECK (json_type(tables) = 'array')
) STRICT;
CREATE INDEX recheck_axis ON recheck (axis_id);

CREATE TABLE change_log (
  id INTEGER PRIMARY KEY,
  at TEXT NOT NULL CHECK (at GLOB '????-??-??T*Z'),
  subject TEXT NOT NULL CHECK (subject IN ('machine', 'axis', 'run')),
  subject_id TEXT NOT NULL,
  action TEXT NOT NULL
    CHECK (action IN ('add', 'change', 'remove', 'restore', 'drop', 'keep', 'judge-again')),
  before TEXT NOT NULL CHECK (json_valid(before)),
  after TEXT NOT NULL CHECK (json_valid(after))
) STRICT;
CREATE INDEX change_log_subject ON change_log (subject, subject_id);

${keepForEver('recording_piece')}
${keepForEver('stopwatch_entry')}
${keepForEver('fit')}
${keepForEver('table_version')}
${keepForEver('table_run')}
${keepForEver('recheck')}
${keepForEver('change_log')}
${refuse('machine', 'DELETE')}
${refuse('axis', 'DELETE')}
${refuse('session', 'DELETE')}
${refuse('recording', 'DELETE')}
${refuse('run', 'DELETE')}
CREATE TRIGGER recording_stays BEFORE UPDATE OF id, axis_id, session_id, step, source, dial, rapid, dial_reset, origin,
  readout, units, tags, note, started_at ON recording
BEGIN SELECT raise(ABORT, 'a recording never changes'); END;
CREATE TRIGGER run_origin_stays BEFORE UPDATE OF id, recording_id, ordinal, dial, rapid, created_at ON run
BEGIN SELECT raise(ABORT, 'where a run comes from never changes'); END;
`

function keepForEver(table: string): string {
  return `${refuse(table, 'UPDATE')}\n${refuse(table, 'DELETE')}`
}

function refuse(table: string, action: 'UPDATE' | 'DELETE'): string {
  return `CREATE TRIGGER ${table}_no_${action.toLowerCase()} BEFORE ${action} ON ${table}
BEGIN SELECT raise(ABORT, '${table} rows never change'); END;`
}
