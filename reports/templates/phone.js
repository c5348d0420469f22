/* Ties the page for the hand to the figures of phone_model.js. Nothing here reaches for the network. */
(function () {
  "use strict";
  const data = JSON.parse(document.getElementById("phone-model").textContent);
  const model = phoneModel(data);
  const byId = (id) => document.getElementById(id);
  const factorOf = new Map(data.factors.map((factor) => [factor.name, factor]));
  const waiting = { timer: 0 };
  window.phone = model;

  /* --- words */

  const fixed = (value, decimals) => value.toLocaleString("en-US", { minimumFractionDigits: decimals, maximumFractionDigits: decimals }).replace("-", "−");
  const plain = (value) => String(Number(value.toPrecision(6)));
  const thousandths = (seconds) => fixed(1000 * seconds + 0, 1).replace("−0.0", "0.0");
  const inHundred = (chance) => Math.min(Math.max(Math.round(100 * chance), 1), 99);
  const percent = (share) => (share > 0 && share < 1 ? Math.min(Math.max(Math.round(100 * share), 1), 99) : Math.round(100 * share)) + " %";
  const listed = (words) => (words.length < 2 ? words.join("") : words.slice(0, -1).join(", ") + " and " + words.at(-1));
  const capital = (text) => text.charAt(0).toUpperCase() + text.slice(1);
  const degrees = (text) => text.replaceAll("degF", "°F");
  const withUnit = (own, units) => (plain(own) + " " + (own === 1 ? units[0] : units[1])).trim();
  const spoken = (name, own) => withUnit(own, (data.bounds[name] || factorOf.get(name)).units);
  const seconds = (line) => fixed(line.seconds + data.centre_s, 3);

  function steps(before, after) {
    const said = [];
    for (const [name, limit] of Object.entries(data.bounds)) {
      if (!(name in before) || Math.abs(after[name] - before[name]) <= data.rules.same) continue;
      const pieces = limit.pieces[plain(after[name])];
      said.push((after[name] > before[name] ? "raise " : "lower ") + limit.label + " from " + plain(before[name]) + " to " +
        spoken(name, after[name]) + (pieces ? " (" + pieces + " on each lever)" : ""));
    }
    return listed(said);
  }

  /* --- what is typed */

  const number = (text) => Number(text.trim().replace(",", ".").replace("−", "-"));

  /* A condition: its number, null where nothing is typed, NaN where it cannot be; the page says what to do. */
  function condition(key) {
    const input = byId(key);
    const text = input.value.trim();
    const found = /^([+\-−]?[\d.,]+)\s*°?\s*([CF])?$/i.exec(text);
    let value = text === "" ? null : found ? number(found[1]) : NaN;
    const isCelsius = found && (found[2] || "").toUpperCase() === "C" && input.dataset.unit === "°F";
    if (isCelsius) value = value * 1.8 + 32;
    if (input.value === input.defaultValue && input.dataset.exact) value = Number(input.dataset.exact);
    const [low, high] = [Number(input.dataset.low), Number(input.dataset.high)];
    const isWrong = value !== null && !(value >= low && value <= high);
    input.setAttribute("aria-invalid", String(isWrong));
    byId(key + "-wrong").textContent = isWrong
      ? capital(input.dataset.label) + " " + text + " is no number from " + low + " to " + high + " " + input.dataset.unit + ": check it."
      : "";
    if (!isWrong && value !== null) byId(key + "-slide").value = value;
    return isWrong ? NaN : value;
  }

  /* Conditions by place in the state; null while one cannot be read. */
  function conditions() {
    const [track, air, pressure, humidity] = ["track", "air", "pressure", "humidity"].map(condition);
    if ([track, air, pressure, humidity].some(Number.isNaN)) return null;
    const found = [];
    if (track !== null && data.track.of !== null) found.push([data.track.of, track]);
    const isKnown = air !== null && pressure !== null && humidity !== null;
    const density = isKnown ? model.density(air, pressure, humidity) : null;
    if (isKnown && data.air.of !== null) found.push([data.air.of, density]);
    byId("air-said").textContent = isKnown
      ? "Air density " + fixed(density, 3) + " kg/m³."
      : "Air not fully given: the middle of the runs so far is taken.";
    const isHotter = track !== null && data.track.hottest !== null && track > data.track.hottest;
    byId("hotter").hidden = !isHotter;
    byId("hotter").firstElementChild.textContent = isHotter
      ? "The track to come, " + fixed(track, 0) + " °F, is hotter than at any run so far (at most " + fixed(data.track.hottest, 0) +
        " °F): what follows reaches past what you have run."
      : "";
    return found;
  }

  /* --- the answer */

  function trackSaid(at) {
    const [low, high] = data.track.ran;
    return "a track of " + fixed(new Map(at).get(data.track.of), 0) + " °F, more than " + data.rules.far_degf + " °F outside the " +
      fixed(low, 0) + " to " + fixed(high, 0) + " °F run so far";
  }

  function forced(found, quick) {
    if (!found.isLegal) {
      return "Nothing is suggested: what is past its limit cannot be brought inside " +
        (quick ? "between rounds." : "by an adjustment that may be suggested.");
    }
    const inside = steps(data.whole, { ...data.whole, ...found.start });
    if (!found.change) {
      return "Nothing is suggested: to come inside the limits, " + inside +
        "; but then the clutch would not hold the engine's torque, and no setting near it does both.";
    }
    const more = steps(found.start, found.change.settings);
    if (!more) return "To come inside the limits, " + inside + ". Nothing else is changed.";
    return "To come inside the limits, " + inside + ". With that, " + more + ": " + gainWords(found.gain, "that alone");
  }
  const gainWords = (gain, than) => thousandths(Math.abs(gain.mean)) + " thousandths " + (gain.mean < 0 ? "quicker" : "slower") +
    " than " + than + " is expected, with " + inHundred(gain.chance) + " chances in a hundred to be quicker.";

  function sentence(found, at, quick) {
    if (found.isPast) return forced(found, quick);
    if (found.far && !found.change) return "Nothing is known of " + trackSaid(at) + ".";
    if (!found.change && !found.canMove) return "There is no adjustment that has a limit in garage.toml and was ever changed.";
    if (!found.change) return "No change near the present setting has " + chanceAsked() + " to be quicker.";
    return capital(steps(found.mode.start, found.change.settings)) + ": " + gainWords(found.gain, "staying");
  }
  const chanceAsked = () => (data.rules.gate > 0.5 ? "nine chances in ten" : "an even chance");

  function head(found) {
    if (found.isPast) return found.change ? "Come inside the limits first." : "Nothing is suggested.";
    return found.change ? "Change, " + inHundred(found.gain.chance) + " % sure." : "Stay.";
  }

  function stopped(found) {
    const said = [];
    const untried = new Set();
    for (const [move, why] of found.stoppedBy) {
      const limit = data.bounds[move.limit];
      if (why === "untried") untried.add(limit.label);
      else if (why === "torque") said.push("the engine's torque, which the clutch must hold");
      else if (why === "reach") said.push(withUnit(limit.reach, limit.units) + " of " + limit.label + ", as far as one suggestion goes");
      else said.push(why === "low" ? limit.low_words : limit.high_words);
    }
    if (untried.size) {
      said.push("how far " + listed([...untried]) + (untried.size > 1 ? " have been tried together" : " has been tried along with the other settings"));
    }
    return [...new Set(said)];
  }

  function untried(found) {
    if (found.untried === "together") return [data.rules.together];
    return found.untried.map(([move, own, by]) => {
      const limit = data.bounds[move.limit];
      return spoken(move.limit, own) + " of " + limit.label + " is " + withUnit(Math.round(by * 100) / 100, limit.units) +
        (own > move.ran[1] ? " more" : " less") + " than any run has had.";
    });
  }

  function torque(settings) {
    if (!data.holding) return data.unchecked;
    const [was, held] = [data.whole, { ...data.whole, ...settings }].map(model.heldBy);
    const said = "With the least friction the clutch holds " + fixed(held, 0) + " lb-ft worn in, against the engine's " +
      fixed(data.holding.engine_lb_ft, 0) + " lb-ft at " + fixed(data.holding.rpm, 0) + " rpm.";
    return held < was - 0.5 ? "This lowers what the clutch holds, from " + fixed(was, 0) + " lb-ft. " + said : said;
  }

  const wrongWords = (line) => "spins " + percent(line.spin) + ", bogs " + percent(line.bog) + " of launches";

  function lineOf(list, name, value, was) {
    const row = document.createElement("div");
    const [term, told] = [document.createElement("dt"), document.createElement("dd")];
    term.textContent = name;
    told.textContent = value;
    if (was) {
      row.className = "changed";
      const before = document.createElement("span");
      before.className = "was";
      before.textContent = " was " + was;
      told.append(before);
    }
    row.append(term, told);
    list.append(row);
  }
  function ticket(id, line, settings, title) {
    const card = byId(id);
    if (title) card.querySelector("h3").textContent = title;
    card.querySelector(".big").textContent = seconds(line) + " s";
    card.querySelector(".range").textContent = data.wrong ? "to 60 ft; " + wrongWords(line) : "to 60 ft";
    const list = card.querySelector(".settings");
    list.replaceChildren();
    for (const [name, own] of Object.entries(settings)) {
      const before = data.whole[name];
      lineOf(list, (factorOf.get(name) || data.bounds[name]).label, spoken(name, own), own === before ? "" : plain(before));
    }
  }
  const items = (id, said) => byId(id).replaceChildren(...said.map((text) => Object.assign(document.createElement("li"), { textContent: degrees(text) })));

  function answer(at) {
    const quick = byId("quick").checked;
    const found = model.suggest(at, quick);
    byId("head").textContent = head(found);
    byId("said").textContent = sentence(found, at, quick);
    const stay = byId("stay");
    stay.classList.toggle("advised", !found.change && !found.isPast);
    ticket("stay", found.stay, data.present, found.isPast ? "As it stands" : "Stay where it is");
    byId("change").hidden = !found.change;
    if (found.change) ticket("change", found.change.line, found.change.settings);
    const stops = stopped(found);
    items("notes", [
      ...untried(found),
      torque(found.change ? found.change.settings : {}),
      ...(quick ? ["Only what can be changed between rounds was considered."] : []),
      ...(stops.length ? ["Held back: " + listed(stops) + "."] : []),
      ...found.mode.no_suggestion_for,
    ].filter(Boolean));
    const rpm = model.bestRpm(at);
    const ends = { limit: "your limit", lowest: "the lowest tried", highest: "the highest tried" };
    const advised = rpm && { ...data.present, ...(found.change && found.change.settings) }[data.rpm.of];
    byId("best-why").hidden = !(rpm && Math.abs(rpm.rpm - advised) >= 50);
    byId("best-rpm").textContent = rpm ? fixed(rpm.rpm, 0) + (rpm.edge ? ", " + ends[rpm.edge] : "") : "–";
  }

  /* --- what if */

  function typed(side) {
    const settings = {};
    const wrong = [];
    for (const input of document.querySelectorAll('[data-side="' + side + '"]')) {
      const { name } = input.dataset;
      const own = input.value === input.defaultValue ? data.present[name] : number(input.value);
      const limit = data.bounds[name];
      let said = "";
      if (input.value.trim() === "" || !Number.isFinite(own)) {
        said = capital(factorOf.get(name).label) + " of " + side.toUpperCase() + " is no number: type one.";
      } else if (own !== data.present[name] && limit && model.past({ [name]: own }).length) {
        const isLow = limit.low !== null && own < limit.low;
        const [bound, words] = isLow ? [limit.low, limit.low_words] : [limit.high, limit.high_words];
        said = capital(limit.label) + " of " + spoken(name, own) + " is " + (isLow ? "below " : "above ") + spoken(name, bound) + " (" + words +
          "), and nothing past a limit is compared. Give at " + (isLow ? "least " : "most ") + spoken(name, bound) + ".";
      }
      input.setAttribute("aria-invalid", String(said !== ""));
      if (said) wrong.push(said);
      settings[name] = own;
    }
    return { settings, wrong };
  }

  /* What speaks against running a setting; nothing when it may be run. */
  function against(settings, state, at) {
    const whole = { ...data.whole, ...settings };
    const said = model.past(whole).map((name) => data.past[name] || data.bounds[name].label + " is past its limit.");
    for (const [name, why] of Object.entries(data.missing)) {
      if (name in whole && Math.abs(whole[name] - data.whole[name]) > data.rules.same) said.push(why);
    }
    if (!model.locks(whole)) {
      said.push("With the least friction the clutch would hold " + fixed(model.heldBy(whole), 0) + " lb-ft worn in, less than the engine's " +
        fixed(data.holding.engine_lb_ft, 0) + " lb-ft at " + fixed(data.holding.rpm, 0) + " rpm.");
    }
    if (!model.near(state, data.region.limit)) said.push("These settings together lie farther out than what was run: its times are a guess.");
    if (model.tooFar(at)) said.push("Nothing is known of " + trackSaid(at) + ".");
    return said;
  }

  function whatIf(at) {
    const sides = { a: typed("a"), b: typed("b") };
    const wrong = [...sides.a.wrong, ...sides.b.wrong];
    const lines = {};
    const speaks = [];
    const held = [];
    for (const [side, { settings, wrong: mistakes }] of Object.entries(sides)) {
      const state = mistakes.length ? null : model.stateOf(settings, at);
      lines[side] = state && model.line(state);
      byId(side + "-expected").textContent = state ? seconds(lines[side]) : "–";
      byId(side + "-spin").textContent = state && data.wrong ? percent(lines[side].spin) : "–";
      byId(side + "-bog").textContent = state && data.wrong ? percent(lines[side].bog) : "–";
      const said = state ? against(settings, state, at) : [];
      if (said.length) held.push(side.toUpperCase());
      speaks.push(...said.map((text) => "Against " + side.toUpperCase() + ": " + text));
    }
    items("against", speaks);
    if (wrong.length) {
      byId("compared").textContent = wrong.join(" ");
      return;
    }
    const isSame = Object.entries(sides.a.settings).every(([name, own]) => own === sides.b.settings[name]);
    const found = model.difference(lines.b, lines.a);
    const [first, second, chance] = found.mean <= 0 ? ["A", "B", found.chance] : ["B", "A", 1 - found.chance];
    const notAdvised = held.length === 2 ? " Neither is advised: see below." : held.length ? " " + held[0] + " is not advised: see below." : "";
    byId("compared").textContent = isSame
      ? "Both are the same setting." + notAdvised
      : first + " is expected " + thousandths(Math.abs(found.mean)) + " thousandths quicker than " + second + ", with " + inHundred(chance) +
        " chances in a hundred to be quicker. A less B: " + thousandths(found.mean) + " (" + thousandths(found.low) + " to " +
        thousandths(found.high) + "); chance that A beats B: " + percent(found.chance) + "." + notAdvised;
  }

  /* --- all of it, a moment after the last touch */

  function renew() {
    clearTimeout(waiting.timer);
    document.documentElement.dataset.fresh = "yes";
    if (data.in_question) {
      byId("head").textContent = "Nothing is suggested.";
      byId("said").textContent = "The present setting is in question. Answer that entry and make this page again.";
      for (const id of ["conditions", "choice", "what-if"]) byId(id).hidden = true;
      return;
    }
    const at = conditions();
    if (at === null) {
      byId("head").textContent = "Nothing is worked out.";
      byId("said").textContent = "One of the conditions cannot be read: see below.";
      for (const id of ["choice", "what-if"]) byId(id).hidden = true;
      return;
    }
    for (const id of ["choice", "what-if"]) byId(id).hidden = false;
    answer(at);
    whatIf(at);
  }
  function soon() {
    document.documentElement.dataset.fresh = "no";
    clearTimeout(waiting.timer);
    waiting.timer = setTimeout(renew, 150);
  }
  for (const slide of document.querySelectorAll(".slide")) {
    slide.addEventListener("input", () => {
      byId(slide.id.replace("-slide", "")).value = slide.value;
      soon();
    });
  }
  for (const input of document.querySelectorAll(".phone input:not(.slide)")) input.addEventListener("input", soon);
  byId("reset").addEventListener("click", () => {
    for (const input of document.querySelectorAll("[data-side]")) input.value = input.defaultValue;
    soon();
  });
  renew();
})();
