-- Simulated rushes: what was asked, how it stands or ended, what came out.

CREATE TABLE rushes (
    bar TEXT NOT NULL REFERENCES bars (bar),
    id TEXT PRIMARY KEY,
    state TEXT NOT NULL,
    since TEXT NOT NULL,
    body TEXT NOT NULL
);

CREATE INDEX rushes_by_time ON rushes (bar, since);
