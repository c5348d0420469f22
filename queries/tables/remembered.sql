-- Purpose: of what content the tables of a stage were made, so that nothing is done twice: stage 'runs' (sheets
-- read and runs built) and 'fit' (of all cars, or of one).
-- Grain: one row per stage and car; car is empty where a stage is of all.
create table if not exists remembered (
    stage varchar not null,
    car varchar not null,
    mark varchar not null
);
