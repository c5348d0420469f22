-- Purpose: the elevation that garage.toml gives for each strip.
-- Grain: one row per strip described. Key: venue.
create or replace temp table given_venues (venue varchar, elevation_ft double);
