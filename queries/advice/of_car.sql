-- Purpose: the advice a car was given, in order, with the columns that the store has. Grain: as given_advice.
select * exclude (car)
from given_advice
where car = $car
order by after_run_at, rowid;
