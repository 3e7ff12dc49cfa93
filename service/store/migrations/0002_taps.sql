-- Taps are forgotten by their time, and the last one is the one that was kept last: clocks step back.

ALTER TABLE taps ADD COLUMN since TEXT NOT NULL DEFAULT '';

UPDATE taps SET since = coalesce(json_extract(body, '$.at'), '');

DROP INDEX taps_by_screen;

CREATE INDEX taps_by_screen ON taps (bar, screen, is_undone);

CREATE INDEX taps_by_time ON taps (since);
