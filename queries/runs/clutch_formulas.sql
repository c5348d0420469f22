-- Purpose: the clutch formulas of pipeline/physics as macros, in the trade's units.
-- Grain: none; these are temporary macros, made anew on each connection.
-- Makes: preload_when_set_lb, not_below_zero, preload_after_wear_lb, centrifugal_load_lb
create or replace temp macro preload_when_set_lb(base_load_lb, load_per_turn_lb, screws, turns) as
    base_load_lb + load_per_turn_lb * screws * turns;

-- A loose spring does not pull. greatest() would turn a missing load into none.
create or replace temp macro not_below_zero(load_lb) as
    case when load_lb < 0.0 then 0.0 else load_lb end;

create or replace temp macro preload_after_wear_lb(
    preload_lb, springs, spring_rate_lb_per_in, growth_in, growth_effect
) as
    not_below_zero(
        preload_lb
        + case when growth_effect = 'more load' then 1.0 else -1.0 end
        * springs * spring_rate_lb_per_in * growth_in
    );

-- Radial force in lb of one gram at one inch at one rpm: 0.0254 x 0.001 x (2 pi / 60)^2 / 4.4482216152605.
create or replace temp macro centrifugal_load_lb(
    levers, lever_mass_g, counterweight_g, lever_radius_in, lever_ratio, rpm
) as
    6.261877054357467e-08 * levers * (lever_mass_g + counterweight_g)
    * lever_radius_in * lever_ratio * rpm * rpm;
