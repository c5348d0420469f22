-- Purpose: put one strip's elevation down.
-- Grain: one row. Key: venue.
insert into given_venues values ($venue, $elevation_ft);
