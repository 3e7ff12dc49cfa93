-- Bytes of tills as they came, by stream; a print is a stretch of one. What is behind the last print of
-- a stream has not been read yet.

CREATE TABLE print_bytes (
    bar TEXT NOT NULL REFERENCES bars (bar),
    stream TEXT NOT NULL,
    position INTEGER NOT NULL,
    sender TEXT NOT NULL,
    since TEXT NOT NULL,
    bytes BLOB NOT NULL,
    PRIMARY KEY (bar, stream, position)
);

CREATE INDEX print_bytes_by_time ON print_bytes (bar, since);

CREATE TABLE prints (
    bar TEXT NOT NULL REFERENCES bars (bar),
    id TEXT NOT NULL,
    stream TEXT NOT NULL,
    to_byte INTEGER NOT NULL,
    became TEXT NOT NULL,
    since TEXT NOT NULL,
    body TEXT NOT NULL,
    PRIMARY KEY (bar, id)
);

CREATE INDEX prints_by_time ON prints (bar, since);

CREATE INDEX prints_by_stream ON prints (bar, stream, to_byte);
