-- Purpose: advice on the next setting as it was given; history, never rebuilt from the sheets.
-- Grain: one row per car and last run known when it was given, strip and near track temperature, the last advice
-- asked for then.
create table if not exists given_advice (
    car varchar not null,
    given_on date not null,
    after_run_at timestamp not null,
    stay varchar not null,
    settings varchar not null,
    expected_s double not null,
    gain_s double not null,
    p_better double,
    track_temp_degf double,
    air_density_kg_per_m3 double,
    venue varchar,
    risk varchar
);
alter table given_advice add column if not exists venue varchar;
alter table given_advice add column if not exists risk varchar;
