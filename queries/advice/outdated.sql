-- Purpose: take out what was advised after the same run before for the same strip and about the same track.
delete from given_advice
where
    car = $car
    and after_run_at = $after_run_at
    and venue is not distinct from $venue
    and coalesce(abs(track_temp_degf - $track_temp_degf) <= $like_track_degf, true);
