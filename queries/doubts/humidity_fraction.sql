-- Reason: no air at a strip is as dry as 1 %: this is a fraction, 0.55 for 55 %.
-- Severity: questioned. Suggests: a hundred times the number.
-- Reads: typed_weather, written
-- Needs: typed_weather
insert into findings
select
    file, sheet, row, 'humidity_pct', written(humidity_pct), 'This looks like a fraction, not a percentage.',
    written(round(humidity_pct * 100, 1)), 'questioned', 'humidity_fraction'
from typed_weather
where humidity_pct > 0 and humidity_pct <= 1;
