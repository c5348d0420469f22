-- Purpose: take out what was advised after the same run before.
delete from given_advice
where car = $car and after_run_at = $after_run_at;
