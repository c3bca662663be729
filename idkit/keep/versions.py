"""The tables of the store, version by version. A version that was ever released is never edited: a new one is added.

What people and machines said is only ever added to. `records.label`, `named...`, `wrong` and `removed` repeat what the
labels and removals say, so that lists of any length come at once.
"""

from __future__ import annotations

FIRST = (
    """CREATE TABLE records (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        uid TEXT NOT NULL UNIQUE,
        kept_at TEXT NOT NULL,
        origin TEXT NOT NULL,
        part TEXT NOT NULL,
        surface TEXT NOT NULL,
        material TEXT NOT NULL,
        chance REAL NOT NULL,
        pile TEXT NOT NULL,
        sure INTEGER NOT NULL,
        model TEXT NOT NULL,
        digest TEXT NOT NULL,
        removed INTEGER NOT NULL DEFAULT 0,
        wrong INTEGER NOT NULL DEFAULT 0,
        label INTEGER REFERENCES labels (id) ON DELETE SET NULL,
        named TEXT NOT NULL DEFAULT '',
        named_pile TEXT NOT NULL DEFAULT '',
        named_by TEXT NOT NULL DEFAULT '',
        named_yard TEXT NOT NULL DEFAULT '',
        answers TEXT NOT NULL,
        chances TEXT NOT NULL,
        document TEXT NOT NULL
    ) STRICT""",
    "CREATE INDEX records_by_material ON records (material, id)",
    "CREATE INDEX records_by_pile ON records (pile, id)",
    "CREATE INDEX records_by_named ON records (named, id)",
    "CREATE INDEX records_by_named_pile ON records (named_pile, id)",
    "CREATE INDEX records_by_named_by ON records (named_by, id)",
    "CREATE INDEX records_by_named_yard ON records (named_yard, id)",
    "CREATE INDEX records_by_label ON records (label)",
    "CREATE INDEX records_confirmed ON records (id) WHERE label IS NOT NULL",
    "CREATE INDEX records_removed ON records (id) WHERE removed = 1",
    "CREATE INDEX records_wrong ON records (id) WHERE wrong = 1",
    """CREATE TABLE photos (
        id INTEGER PRIMARY KEY,
        record INTEGER NOT NULL REFERENCES records (id) ON DELETE CASCADE,
        sha256 TEXT NOT NULL REFERENCES pictures (sha256),
        file TEXT NOT NULL,
        cues TEXT NOT NULL,
        white TEXT NOT NULL,
        log_photo TEXT NOT NULL
    ) STRICT""",
    "CREATE INDEX photos_by_record ON photos (record)",
    "CREATE INDEX photos_by_sha256 ON photos (sha256)",
    "CREATE TABLE pictures (id INTEGER PRIMARY KEY, sha256 TEXT NOT NULL UNIQUE, likeness BLOB NOT NULL) STRICT",
    """CREATE TABLE strands (
        bits INTEGER NOT NULL, picture INTEGER NOT NULL, PRIMARY KEY (bits, picture)
    ) STRICT, WITHOUT ROWID""",
    """CREATE TABLE twins (
        sha256 TEXT NOT NULL REFERENCES pictures (sha256) ON DELETE CASCADE,
        other TEXT NOT NULL REFERENCES pictures (sha256) ON DELETE CASCADE,
        PRIMARY KEY (sha256, other)
    ) STRICT, WITHOUT ROWID""",
    "CREATE INDEX twins_by_other ON twins (other)",
    """CREATE TABLE thumbnails (
        sha256 TEXT PRIMARY KEY REFERENCES pictures (sha256) ON DELETE CASCADE, jpeg BLOB NOT NULL
    ) STRICT""",
    """CREATE TABLE originals (
        sha256 TEXT PRIMARY KEY REFERENCES pictures (sha256) ON DELETE CASCADE, bytes BLOB NOT NULL
    ) STRICT""",
    """CREATE TABLE labels (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        record INTEGER NOT NULL REFERENCES records (id) ON DELETE CASCADE,
        said_at TEXT NOT NULL,
        "by" TEXT NOT NULL CHECK ("by" IN ('analyser', 'yard', 'self')),
        yard TEXT NOT NULL,
        materials TEXT NOT NULL,
        pile TEXT NOT NULL,
        note TEXT NOT NULL,
        withdrawn INTEGER NOT NULL DEFAULT 0
    ) STRICT""",
    "CREATE INDEX labels_by_record ON labels (record)",
    """CREATE TABLE removals (
        id INTEGER PRIMARY KEY,
        record INTEGER NOT NULL REFERENCES records (id) ON DELETE CASCADE,
        at TEXT NOT NULL,
        what TEXT NOT NULL CHECK (what IN ('removed', 'restored'))
    ) STRICT""",
    "CREATE INDEX removals_by_record ON removals (record)",
    """CREATE TABLE picks (
        record INTEGER PRIMARY KEY REFERENCES records (id) ON DELETE CASCADE, at TEXT NOT NULL
    ) STRICT""",
    """CREATE TABLE downgrades (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        said_at TEXT NOT NULL,
        yard TEXT NOT NULL,
        claimed TEXT NOT NULL,
        paid TEXT NOT NULL,
        reason TEXT NOT NULL,
        culprit INTEGER REFERENCES records (id) ON DELETE SET NULL
    ) STRICT""",
    "CREATE INDEX downgrades_by_culprit ON downgrades (culprit)",
    """CREATE TABLE downgraded (
        downgrade INTEGER NOT NULL REFERENCES downgrades (id) ON DELETE CASCADE,
        record INTEGER NOT NULL REFERENCES records (id) ON DELETE CASCADE,
        PRIMARY KEY (downgrade, record)
    ) STRICT, WITHOUT ROWID""",
    "CREATE INDEX downgraded_by_record ON downgraded (record)",
)

SHARING = (
    """CREATE TABLE packages (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        sha256 TEXT NOT NULL UNIQUE,
        name TEXT NOT NULL,
        imported_at TEXT NOT NULL,
        weight REAL NOT NULL
    ) STRICT""",
    "ALTER TABLE records ADD COLUMN package INTEGER REFERENCES packages (id)",
    "CREATE INDEX records_by_package ON records (package)",
)

DAYBOOK = (
    """CREATE TABLE daybook (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        at TEXT NOT NULL,
        kind TEXT NOT NULL CHECK (kind IN ('yard', 'prices', 'find', 'pile', 'load')),
        name TEXT NOT NULL,
        act TEXT NOT NULL,
        body TEXT NOT NULL
    ) STRICT""",
    "CREATE INDEX daybook_by_name ON daybook (kind, name)",
)

DESCRIBED = (
    "ALTER TABLE daybook RENAME TO daybook_before",
    "DROP INDEX daybook_by_name",
    """CREATE TABLE daybook (
        id INTEGER PRIMARY KEY AUTOINCREMENT,
        at TEXT NOT NULL,
        kind TEXT NOT NULL CHECK (kind IN ('yard', 'prices', 'find', 'pile', 'load', 'material')),
        name TEXT NOT NULL,
        act TEXT NOT NULL,
        body TEXT NOT NULL
    ) STRICT""",
    "INSERT INTO daybook SELECT id, at, kind, name, act, body FROM daybook_before",
    "DROP TABLE daybook_before",
    "CREATE INDEX daybook_by_name ON daybook (kind, name)",
)

VERSIONS: tuple[tuple[str, ...], ...] = (FIRST, SHARING, DAYBOOK, DESCRIBED)
