/* The expected 60 ft time at any setting and in any conditions, what may go wrong, and what to set next: the same
   figures as slipledger's own, which the tests hold this file to. It knows no adjustment by name; factors, columns,
   limits and rules are told by the data. A state is a list of steps from the reference, one a factor. */
function phoneModel(data) {
  "use strict";
  const factors = data.factors;
  const rules = data.rules;
  const place = new Map(factors.map((factor, i) => [factor.name, i]));
  const toSteps = (i, own) => (own - factors[i].reference) / factors[i].step;
  const toOwn = (i, steps) => factors[i].reference + factors[i].step * steps;
  const sum = (values) => values.reduce((all, one) => all + one, 0);
  function dot(left, right) {
    let found = 0;
    for (let i = 0; i < left.length; i += 1) found += left[i] * right[i];
    return found;
  }
  const logistic = (x) => 1 / (1 + Math.exp(-x));

  /* A symmetric matrix from its lower triangle, and x' M x. */
  function square(triangle) {
    const rows = [];
    for (let at = 0, n = 1; at < triangle.length; at += n, n += 1) rows.push(triangle.slice(at, at + n));
    return rows;
  }
  function quadratic(rows, x) {
    let found = 0;
    for (let i = 0; i < rows.length; i += 1) {
      if (x[i] === 0) continue;
      let half = (rows[i][i] * x[i]) / 2;
      for (let j = 0; j < i; j += 1) half += rows[i][j] * x[j];
      found += 2 * half * x[i];
    }
    return found;
  }
  const cov = square(data.cov);
  const wrong = data.wrong && { ...data.wrong, covs: data.wrong.covs.map(square) };

  /* Features: the factors, then what is derived from them in their own units. */
  function derived(one, own) {
    const whole = sum(one.terms.map(([by, of]) => of.reduce((all, i) => all * own[i], by)));
    return whole / one.over.reduce((all, i) => (all * own[i]) / factors[i].reference, 1);
  }
  const atReference = data.derived.map((one) => derived(one, factors.map((factor) => factor.reference)));
  function features(state) {
    const own = state.map((steps, i) => toOwn(i, steps));
    return [...state, ...data.derived.map((one, k) => (derived(one, own) - atReference[k]) / one.per)];
  }
  function column(one, at) {
    if (one.powers.length) return one.powers.reduceRight((all, power) => all * at[one.of[0]] + power, 0);
    return one.of.reduce((all, i) => all * at[i], 1);
  }

  /* The chance of spinning, of bogging, and of bogging where it does not spin. */
  function chances(at) {
    const x = wrong.of.map((i) => (i < 0 ? 1 : at[i]));
    const [spin, alone] = [0, 1].map((k) =>
      logistic(dot(wrong.weights[k], x) / Math.sqrt(1 + (Math.PI * quadratic(wrong.covs[k], x)) / 8)));
    return { x, spin, alone, bog: alone * (1 - spin) };
  }

  /* Expected time at a state [s, from the centre], and what it hangs on. */
  function line(state) {
    const at = features(state);
    const clean = data.columns.map((one) => column(one, at));
    const found = { seconds: dot(data.mean, clean), clean, spin: 0, bog: 0, room: room(state), parts: [] };
    if (!wrong) return found;
    const { x, spin, alone, bog } = chances(at);
    const [inSpin, inBog] = wrong.loss_s;
    const slopes = [spin * (1 - spin) * (inSpin - alone * inBog), bog * (1 - alone) * inBog];
    found.parts = slopes.map((slope) => x.map((one) => one * slope));
    found.losses = [spin * inSpin, bog * inBog];
    return Object.assign(found, { seconds: found.seconds + sum(found.losses), spin, bog });
  }
  function room(state) {
    const z = data.room.of.map((i) => state[i] / factors[i].spread);
    const [product, square] = data.room.size_s;
    const found = [];
    for (let i = 0; i < z.length; i += 1) {
      for (let j = i; j < z.length; j += 1) found.push((i === j ? square : product) * z[i] * z[j]);
    }
    return found;
  }

  /* Change of the expected time from one line to another: mean and sd [s]. */
  function change(from, to) {
    const less = (left, right) => right.map((one, i) => one - left[i]);
    let spread = quadratic(cov, less(from.clean, to.clean));
    spread += sum(less(from.room, to.room).map((one) => one * one));
    if (wrong) {
      spread += sum([0, 1].map((k) => quadratic(wrong.covs[k], less(from.parts[k], to.parts[k]))));
      spread += sum(less(from.losses, to.losses).map((one, k) => (one * wrong.loss_log_sd[k]) ** 2));
    }
    return { mean: to.seconds - from.seconds, sd: Math.sqrt(Math.max(spread, 0)) };
  }
  function difference(from, to) {
    const { mean, sd } = change(from, to);
    const half = rules.quantile * sd;
    return { mean, sd, low: mean - half, high: mean + half, chance: normal(-mean / Math.max(sd, 1e-300)) };
  }

  /* Share of a standard normal below x: a series near the middle, a continued fraction in the tails. */
  function normal(x) {
    const a = Math.abs(x);
    if (a > 38) return x > 0 ? 1 : 0;
    const density = Math.exp((-a * a) / 2) / Math.sqrt(2 * Math.PI);
    if (a < 4) {
      let term = a;
      let found = a;
      for (let k = 3; Math.abs(term) > 1e-17 * found; k += 2) found += term *= (a * a) / k;
      return 0.5 + Math.sign(x) * density * found;
    }
    let tail = a;
    for (let k = 60; k > 0; k -= 1) tail = a + k / tail;
    return x > 0 ? 1 - density / tail : density / tail;
  }

  /* State of settings, by name in own units, under conditions, by place in own units. */
  function stateOf(settings, conditions) {
    const state = [...data.base];
    for (const [name, own] of Object.entries(settings)) if (place.has(name)) state[place.get(name)] = toSteps(place.get(name), own);
    for (const [i, own] of conditions) state[i] = toSteps(i, own);
    return state;
  }

  /* Air density [kg/m3] from temperature [degF], station pressure [inHg] and humidity [%]. */
  function density(degF, inHg, percent) {
    const air = data.air;
    const [a, b, c, d] = air.buck;
    const kelvin = (degF + 459.67) / 1.8;
    const t = kelvin - air.zero_celsius_k;
    const vapor = (percent / 100) * a * Math.exp(((b - t / d) * t) / (c + t));
    return ((inHg * air.inhg_pa - vapor) / air.dry_air + vapor / air.water_vapor) / kelvin;
  }

  /* --- limits: inside garage.toml, near what was run, holding the engine */

  const isPast = (limit, own) =>
    (limit.low !== null && own < limit.low - 1e-9) || (limit.high !== null && own > limit.high + 1e-9);
  const past = (settings) => Object.keys(data.bounds).filter((name) => name in settings && isPast(data.bounds[name], settings[name]));
  function near(state, most) {
    const { of, centre, inverse } = data.region;
    const away = of.map((i, k) => state[i] - centre[k]);
    let distance = 0;
    for (let i = 0; i < away.length; i += 1) {
      for (let j = 0; j < away.length; j += 1) distance += inverse[i][j] * away[i] * away[j];
    }
    return distance <= most * (1 + 1e-9);
  }
  function heldBy(settings) {
    const held = data.holding;
    const load = (by) => sum(by.map(([each, name, own]) => each * (name in settings ? settings[name] : own)));
    return held.per_lb * (Math.max(held.static_lb + load(held.static_by), 0) + held.levers_lb + load(held.levers_by));
  }
  const locks = (settings) => !data.holding || heldBy(settings) >= data.holding.engine_lb_ft - 1e-9;
  function tooFar(conditions) {
    const ran = data.track.ran;
    const temp = new Map(conditions).get(data.track.of);
    return Boolean(ran) && temp !== undefined && (temp < ran[0] - rules.far_degf || temp > ran[1] + rules.far_degf);
  }

  /* --- the search for the next setting, as pipeline/decide/setting_search.py makes it */

  function searchFrom(mode, conditions) {
    const here = stateOf(mode.start, conditions);
    const hereLine = line(here);
    const moves = tooFar(conditions) || !mode.is_legal ? [] : mode.moves;
    const known = new Map();
    const settingsAt = (state) => Object.fromEntries(moves.map((move) => [move.limit, toOwn(move.of, state[move.of])]));
    const search = {
      here, hereLine, mode, moves,
      choices: moves.map((move) => move.values.map((own) => toSteps(move.of, own))),
      inRegion: (state) => near(state, mode.region_limit),
      holds: (state) => locks({ ...mode.start, ...settingsAt(state) }),
      allows: (state) => search.inRegion(state) && search.holds(state),
      hasMoved: (state, k) => Math.abs(state[moves[k].of] - here[moves[k].of]) > rules.same,
      cautious(state) {
        const key = moves.map((move) => state[move.of]).join();
        if (!known.has(key)) {
          const { mean, sd } = change(hereLine, line(state));
          const moved = moves.filter((_, k) => search.hasMoved(state, k)).length;
          const short = mean + rules.gate_sd * sd;
          known.set(key, (short > 0 ? short : mean + rules.caution_sd * sd) + rules.worth_s * moved);
        }
        return known.get(key);
      },
    };
    return search;
  }
  function leastOf(values, score) {
    let [best, least] = [null, Infinity];
    for (const one of values) {
      const scored = score(one);
      if (best === null || scored < least) [best, least] = [one, scored];
    }
    return best;
  }

  function blocksOf(search) {
    const first = [];
    const rest = [];
    let size = 1;
    search.choices.forEach((values, k) => {
      if (size * values.length > rules.most_candidates) return rest.push([k]);
      size *= values.length;
      return first.push(k);
    });
    return [first, ...rest];
  }
  function bestOf(search, at, block) {
    if (!block.length) return at;
    let states = [at];
    for (const k of block) {
      const onward = [];
      for (const state of states) {
        for (const steps of search.choices[k]) {
          const next = state.slice();
          next[search.moves[k].of] = steps;
          onward.push(next);
        }
      }
      states = onward;
    }
    const inside = states.filter(search.allows);
    return leastOf(inside.length ? inside : states, search.cautious);
  }
  function mostCautious(search) {
    let at = [...search.here];
    search.moves.forEach((move, k) => { at[move.of] = leastOf(search.choices[k], (steps) => Math.abs(steps - at[move.of])); });
    const blocks = blocksOf(search);
    for (let round = 0; round < (blocks.length > 1 ? rules.rounds : 1); round += 1) {
      const before = at;
      for (const block of blocks) at = bestOf(search, at, block);
      if (before.every((steps, i) => steps === at[i])) break;
    }
    return at;
  }
  const without = (search, out) => ({
    ...search,
    choices: search.choices.map((values, k) => (out.has(k) ? [search.here[search.moves[k].of]] : values)),
  });
  function weakestMove(search, best) {
    const moved = search.moves.map((_, k) => k).filter((k) => search.hasMoved(best, k));
    const doubtful = [];
    for (const k of moved.length > 1 ? moved : []) {
      const i = search.moves[k].of;
      const back = Object.assign([...best], { [i]: search.here[i] });
      const gain = difference(line(back), line(best));
      if (gain.mean > -rules.worth_s) doubtful.push([gain.chance, k]);
    }
    return doubtful.length ? leastOf(doubtful, ([chance]) => chance)[1] : null;
  }
  function improved(search, best) {
    const all = search.moves.map((_, k) => k);
    const still = all.filter((k) => !search.hasMoved(best, k));
    for (const k of still) {
      for (const left of [still, all].map((ones) => new Set(ones.filter((one) => one !== k)))) {
        const trial = mostCautious(without(search, left));
        if (search.cautious(trial) < search.cautious(best) - rules.same && weakestMove(search, trial) === null) return trial;
      }
    }
    return null;
  }
  function earned(search) {
    const out = new Set();
    let best = mostCautious(search);
    for (let weak = weakestMove(search, best); weak !== null; weak = weakestMove(search, best)) {
      out.add(weak);
      best = mostCautious(without(search, out));
    }
    for (let better = out.size ? best : null; better !== null; better = improved(search, better)) best = better;
    return best;
  }

  /* Stay, change, come inside a limit first, or nothing: settings, gain and what stopped it. */
  function suggest(conditions, quick) {
    const mode = data.modes[quick ? "quick" : "all"];
    const search = searchFrom(mode, conditions);
    const isPastNow = Object.keys(data.past).length > 0;
    const best = isPastNow && !mode.holds ? mostCautious(search) : earned(search);
    const gain = difference(search.hereLine, line(best));
    const isForced = isPastNow && !mode.holds;
    const changed = search.moves.filter((_, k) => search.hasMoved(best, k));
    const moved = changed.length > 0 && (gain.chance >= rules.gate || isForced);
    const after = { ...mode.start };
    for (const move of moved ? changed : []) {
      const limit = data.bounds[move.limit];
      const own = Math.round(toOwn(move.of, best[move.of]) * 1e6) / 1e6;
      after[move.limit] = Math.min(Math.max(own, limit.low ?? -Infinity), limit.high ?? Infinity);
    }
    const whole = { ...data.whole, ...after };
    const allowed = mode.is_legal && past(whole).length === 0 && locks(whole);
    const offered = allowed && (moved || isPastNow);
    return {
      far: tooFar(conditions), isPast: isPastNow, isLegal: mode.is_legal, moved: offered && moved, gain, mode,
      start: mode.start, canMove: search.moves.length > 0,
      untried: offered && moved ? untriedOf(mode, changed, after, best) : [],
      stay: line(stateOf(data.present, conditions)),
      change: offered ? { settings: after, line: moved ? line(best) : search.hereLine } : null,
      stoppedBy: stoppedBy(search, best),
    };
  }

  /* What of a change no run has had: [move, value, how far past the runs]; "together" when only all at once. */
  function untriedOf(mode, changed, after, best) {
    const past = changed
      .map((move) => [move, after[move.limit], Math.max(after[move.limit] - move.ran[1], move.ran[0] - after[move.limit])])
      .filter(([, , by]) => by >= 0.005);
    return past.length || near(best, mode.tried_limit) ? past : "together";
  }

  /* Each limit just beyond which the score would still fall: [move, why], why a limit, "reach", "torque" or "untried". */
  function stoppedBy(search, best) {
    const found = [];
    search.moves.forEach((move, k) => {
      for (const step of [-1, 1]) {
        const onward = search.choices[k].filter((steps) => (steps - best[move.of]) * step > rules.same);
        const next = onward.length ? leastOf(onward, (steps) => steps * step) : best[move.of] + (step * data.bounds[move.limit].grid) / factors[move.of].step;
        const beyond = Object.assign([...best], { [move.of]: next });
        if (search.cautious(beyond) >= search.cautious(best)) continue;
        const limit = data.bounds[move.limit];
        const [own, now] = [next, search.here[move.of]].map((steps) => toOwn(move.of, steps));
        if (isPast(limit, own)) found.push([move, limit.low !== null && own < limit.low ? "low" : "high"]);
        else if (Math.abs(own - now) > limit.reach + rules.same) found.push([move, "reach"]);
        else if (!search.holds(beyond)) found.push([move, "torque"]);
        else if (!search.inRegion(beyond)) found.push([move, "untried"]);
      }
    });
    return found;
  }

  /* The launch rpm with the least expected time, the rest as it is set now; null where there is none to choose. */
  function bestRpm(conditions) {
    if (!data.rpm) return null;
    const at = (steps) => line(Object.assign(stateOf(data.present, conditions), { [data.rpm.of]: steps })).seconds;
    const best = leastOf(data.rpm.steps, at);
    const end = best === data.rpm.steps[0] ? "lowest" : best === data.rpm.steps.at(-1) ? "highest" : null;
    return { rpm: toOwn(data.rpm.of, best), edge: end && data.rpm.held[end] ? "limit" : end };
  }

  return { toOwn, toSteps, stateOf, line, change, difference, normal, density, suggest, bestRpm, past, near, locks, heldBy, tooFar };
}
