-- A number that comes again with other lines is a ticket of its own: nobody's drinks are lost.

DROP INDEX tickets_once;

CREATE INDEX tickets_by_number ON tickets (bar, business_day, till, number);
