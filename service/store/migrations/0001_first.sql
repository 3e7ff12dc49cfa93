-- Columns are what is searched; `body` is the record itself as JSON. Times are UTC text, ISO 8601,
-- which sorts as time does.

CREATE TABLE bars (
    bar TEXT PRIMARY KEY,
    epoch TEXT NOT NULL,
    name TEXT NOT NULL,
    timezone TEXT NOT NULL
);

CREATE TABLE versions (
    bar TEXT NOT NULL REFERENCES bars (bar),
    part TEXT NOT NULL,
    version INTEGER NOT NULL,
    since TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (bar, part, version)
);

CREATE TABLE tickets (
    bar TEXT NOT NULL REFERENCES bars (bar),
    id TEXT NOT NULL,
    business_day TEXT NOT NULL,
    till TEXT NOT NULL,
    number TEXT NOT NULL,
    placed_at TEXT NOT NULL,
    num_unread INTEGER NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (bar, id)
);

CREATE UNIQUE INDEX tickets_once ON tickets (bar, business_day, till, number);

CREATE INDEX tickets_by_time ON tickets (bar, placed_at);

CREATE TABLE drinks (
    bar TEXT NOT NULL,
    id TEXT NOT NULL,
    ticket TEXT NOT NULL,
    state TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (bar, id),
    FOREIGN KEY (bar, ticket) REFERENCES tickets (bar, id)
);

CREATE INDEX drinks_by_ticket ON drinks (bar, ticket);

CREATE INDEX drinks_by_state ON drinks (bar, state);

CREATE TABLE builds (
    bar TEXT NOT NULL REFERENCES bars (bar),
    id TEXT NOT NULL,
    state TEXT NOT NULL,
    since TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (bar, id)
);

CREATE INDEX builds_by_state ON builds (bar, state);

CREATE INDEX builds_by_time ON builds (bar, since);

CREATE TABLE marks (
    bar TEXT NOT NULL REFERENCES bars (bar),
    id TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (bar, id)
);

CREATE TABLE taps (
    bar TEXT NOT NULL REFERENCES bars (bar),
    id TEXT NOT NULL,
    screen TEXT NOT NULL,
    is_undone INTEGER NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (bar, id)
);

CREATE INDEX taps_by_screen ON taps (bar, screen, is_undone, id);

CREATE TABLE shown (
    bar TEXT NOT NULL REFERENCES bars (bar),
    id TEXT NOT NULL,
    since TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (bar, id)
);

CREATE TABLE orders (
    bar TEXT PRIMARY KEY REFERENCES bars (bar),
    revision INTEGER NOT NULL,
    body TEXT NOT NULL
);

CREATE TABLE answers (
    bar TEXT NOT NULL REFERENCES bars (bar),
    key TEXT NOT NULL,
    since TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (bar, key)
);

CREATE INDEX answers_by_time ON answers (since);
