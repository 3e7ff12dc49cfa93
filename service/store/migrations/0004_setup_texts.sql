-- A menu, counter or table of standards as somebody wrote it, comments and all, beside its version.

CREATE TABLE texts (
    bar TEXT NOT NULL,
    part TEXT NOT NULL,
    version INTEGER NOT NULL,
    text TEXT NOT NULL,
    note TEXT NOT NULL,
    PRIMARY KEY (bar, part, version),
    FOREIGN KEY (bar, part, version) REFERENCES versions (bar, part, version)
);
