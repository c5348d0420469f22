-- Purpose: note what a stage's tables were made of. Grain: one row.
insert into remembered
select $stage, $car, $mark
where not exists (from remembered where stage = $stage and car = $car);
