-- Purpose: what these ties are for any car that accelerates all the way, for cars with too few runs of
--          their own. Middles lie between constant power (Fox, Am. J. Phys. 41 (1973) 311: times as
--          distance^(2/3)) and a start held back by the tires; widths cover street cars to the quickest.
-- Grain: one row. Key: none.
create or replace temp table usual_ratios as
select
    1.75 as m_330, 0.17 as w_330,
    3.20 as m_early, 0.27 as w_early,
    0.855 as m_660, 0.035 as w_660,
    1.09 as m_trap660, 0.020 as w_trap660,
    1.50 as m_pass660, 0.05 as w_pass660,
    0.866 as m_1000, 0.020 as w_1000,
    0.853 as m_1320, 0.020 as w_1320,
    0.565 as m_half, 0.025 as w_half,
    1.035 as m_trap1320, 0.012 as w_trap1320,
    1.50 as m_pass1320, 0.04 as w_pass1320,
    1.26 as m_speeds, 0.035 as w_speeds,
    0.985 as m_back, 0.020 as w_back;
