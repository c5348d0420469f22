/* Types one run at a time, keeps it in this browser as it is typed, and saves an event as a CSV for the logbook. */
(function () {
  "use strict";
  const fields = JSON.parse(document.getElementById("entry-fields").textContent);
  const KEY = "slipledger trackside";
  const MOST_UNDONE = 30;
  const byId = (id) => document.getElementById(id);
  const input = (name) => byId("f-" + name);
  const heads = ["date", "venue", "event", "car"];
  const splits = fields.filter((field) => field.kind === "time");
  const undone = [];
  let book = { events: [], current: "", removed: [] };
  let isAtRisk = false;

  const newId = () => Date.now().toString(36) + Math.random().toString(36).slice(2, 8);
  const today = () => new Date(Date.now() - new Date().getTimezoneOffset() * 60000).toISOString().slice(0, 10);
  const now = () => new Date().toTimeString().slice(0, 5);
  const event = () => book.events.find((one) => one.id === book.current);
  const number = (text) => Number(text.trim().replace(",", "."));

  /* --- kept in the browser; what another tab kept is taken in, so that neither loses a run */

  function read() {
    try {
      return JSON.parse(localStorage.getItem(KEY)) || null;
    } catch (refused) {
      return null;
    }
  }
  function takeIn(other) {
    if (!other) return;
    for (const theirs of other.events) {
      const ours = book.events.find((one) => one.id === theirs.id);
      if (book.removed.includes(theirs.id)) continue;
      if (!ours) book.events.push(theirs);
      else for (const run of theirs.runs) takeInRun(ours.runs, run);
    }
  }
  function takeInRun(runs, run) {
    const at = runs.findIndex((one) => one.id === run.id);
    if (book.removed.includes(run.id)) return;
    if (at < 0) runs.push(run);
    else if (run.kept > runs[at].kept) runs[at] = run;
  }
  function keep() {
    takeIn(read());
    try {
      localStorage.setItem(KEY, JSON.stringify(book));
      isAtRisk = false;
      say("kept", "Kept in this browser as you type.");
    } catch (refused) {
      isAtRisk = true;
      say("kept", "This browser cannot keep any more: press Save now. What you typed is still here as long as this page stays open.");
    }
    byId("kept").classList.toggle("alarm", isAtRisk);
  }
  function say(id, text) {
    if (byId(id).textContent !== text) byId(id).textContent = text;
  }

  /* --- undo: what was there before each step */

  function remember() {
    undone.push(JSON.stringify(book));
    if (undone.length > MOST_UNDONE) undone.shift();
  }
  const idsOf = (one) => one.events.flatMap((each) => [each.id, ...each.runs.map((run) => run.id)]);
  function undo() {
    if (!undone.length) return;
    const before = JSON.parse(undone.pop());
    const there = idsOf(before);
    const gone = idsOf(book).filter((id) => !there.includes(id));
    book = { ...before, removed: [...new Set([...book.removed, ...gone])].filter((id) => !there.includes(id)) };
    draw();
    keep();
    say("told", "Taken back.");
  }

  /* --- checks */

  /* What is odd about a value, and what it may have been meant to be; nothing when it is plain. */
  function check(field, values) {
    const text = values[field.name] || "";
    if (text === "" || field.low === null) return null;
    const value = number(text);
    if (!Number.isFinite(value)) return { said: field.label + " " + text + " is no number.", meant: "" };
    if (value < field.low || value > field.high) return { said: field.label + " of " + text + " is outside " + field.low + " to " + field.high + ".", meant: withDecimal(field, value, values) };
    const [before, after] = neighbors(field, values);
    if (before && value <= before.value) return { said: field.label + " of " + text + " is not after " + before.label + ", " + before.value + ".", meant: "" };
    if (after && value >= after.value) return { said: field.label + " of " + text + " is not before " + after.label + ", " + after.value + ".", meant: "" };
    return null;
  }
  function neighbors(field, values) {
    const at = splits.indexOf(field);
    const known = splits.map((one) => ({ label: one.label, value: values[one.name] ? number(values[one.name]) : NaN }));
    const isKnown = (one) => Number.isFinite(one.value);
    return at < 0 ? [] : [known.slice(0, at).filter(isKnown).at(-1), known.slice(at + 1).find(isKnown)];
  }
  function withDecimal(field, value, values) {
    const [before, after] = neighbors(field, values);
    for (let by = 10; by <= 10000; by *= 10) {
      const meant = value / by;
      const fits = meant >= field.low && meant <= field.high && (!before || meant > before.value) && (!after || meant < after.value);
      if (field.decimals && fits) return String(meant);
    }
    return "";
  }
  function show(field, found) {
    const place = byId("w-" + field.name);
    input(field.name).setAttribute("aria-invalid", String(Boolean(found)));
    place.replaceChildren(found ? found.said + " " : "");
    if (!found || !found.meant) return;
    const button = Object.assign(document.createElement("button"), { type: "button", textContent: "Use " + found.meant });
    button.addEventListener("click", () => {
      input(field.name).value = found.meant;
      typed();
      checkAll();
      input(field.name).focus();
    });
    place.append(button);
  }
  function checkAll() {
    const values = shown();
    const odd = fields.filter((field) => {
      const found = check(field, values);
      show(field, found);
      return found;
    });
    return odd;
  }

  /* --- the run being typed */

  const shown = () => Object.fromEntries(["time", ...fields.map((field) => field.name)].map((name) => [name, input(name).value.trim()]));
  function put(values) {
    for (const name of ["time", ...fields.map((field) => field.name)]) input(name).value = values[name] || "";
    for (const field of fields) show(field, null);
  }
  const carried = (values) => Object.fromEntries(fields.filter((field) => field.kind === "setting").map((field) => [field.name, values[field.name] || ""]));
  const isTyped = (values) => fields.some((field) => field.kind !== "setting" && values[field.name]);

  function typed() {
    const one = event();
    const values = shown();
    if (!values.time && values[splits[0].name] && one.date === today()) values.time = input("time").value = now();
    if (one.editing) one.editing.values = values;
    else one.draft = values;
    disarm();
    keep();
  }
  function disarm() {
    byId("add").textContent = event().editing ? "Keep the change" : "Add this run";
    delete byId("add").dataset.armed;
  }
  function add() {
    const one = event();
    const values = shown();
    if (!isTyped(values)) {
      say("told", "Nothing to add yet: type at least one time.");
      input(splits[0].name).focus();
      return;
    }
    const odd = checkAll();
    if (odd.length && !byId("add").dataset.armed) {
      byId("add").dataset.armed = "yes";
      byId("add").textContent = one.editing ? "Keep as typed" : "Add as typed";
      say("told", "Look at " + odd.map((field) => field.label).join(", ") + ", or press again to keep it as typed.");
      input(odd[0].name).focus();
      return;
    }
    remember();
    const run = { id: one.editing ? one.editing.id : newId(), kept: Date.now(), values };
    const at = one.runs.findIndex((each) => each.id === run.id);
    if (at < 0) one.runs.push(run);
    else one.runs[at] = run;
    const wasEditing = Boolean(one.editing);
    delete one.editing;
    if (!wasEditing) one.draft = carried(values);
    draw();
    keep();
    if (!isAtRisk) say("told", "Run " + (at < 0 ? one.runs.length : at + 1) + " is kept.");
    input(splits[0].name).focus();
  }

  /* --- drawing */

  function button(text, label, act) {
    const made = Object.assign(document.createElement("button"), { type: "button", textContent: text });
    made.setAttribute("aria-label", label);
    made.addEventListener("click", act);
    return made;
  }
  function drawRuns() {
    const one = event();
    byId("runs").replaceChildren(...one.runs.map((run, at) => {
      const row = document.createElement("li");
      const told = ["time", ...splits.map((field) => field.name), "outcome"].map((name) => run.values[name]).filter(Boolean);
      row.append(Object.assign(document.createElement("span"), { textContent: told.join("  ") }));
      row.append(button("Change", "Change run " + (at + 1), () => {
        one.editing = { id: run.id, values: { ...run.values } };
        draw();
        keep();
        input(splits[0].name).focus();
      }));
      row.append(button("Take out", "Take out run " + (at + 1), () => {
        remember();
        one.runs.splice(at, 1);
        book.removed.push(run.id);
        if (one.editing && one.editing.id === run.id) delete one.editing;
        draw();
        keep();
        say("told", "Run " + (at + 1) + " is taken out; Undo brings it back.");
      }));
      return row;
    }));
    say("count", one.runs.length === 1 ? "1 run" : one.runs.length + " runs");
  }
  function draw() {
    const one = event();
    byId("events").replaceChildren(...book.events.map((each) => {
      const words = [each.date, each.event || each.venue || "event without a name"].filter(Boolean).join(" ");
      return Object.assign(document.createElement("option"), { value: each.id, textContent: words, selected: each.id === book.current });
    }));
    for (const name of heads) byId("h-" + name).value = one[name] || "";
    put(one.editing ? one.editing.values : one.draft);
    disarm();
    drawRuns();
  }
  function begin() {
    const last = event();
    const made = { id: newId(), date: today(), venue: "", event: "", car: last ? last.car : "", runs: [], draft: last ? carried(last.runs.length ? last.runs.at(-1).values : last.draft) : {} };
    book.events.push(made);
    book.current = made.id;
  }

  /* --- the file for the logbook */

  /* As spreadsheet_text.py does: text a spreadsheet would run gets an apostrophe; numbers stay as they are. */
  function asText(text) {
    const isNumber = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(text.trim());
    return /^[=+\-@\t\r]/.test(text) && !isNumber ? "'" + text : text;
  }
  /* A decimal comma becomes a point where the number is plain; anything else stays as typed. */
  function plain(field, values) {
    const text = values[field.name] || "";
    return field.low !== null && text && !check(field, values) ? text.replace(",", ".") : text;
  }
  const quoted = (text) => (/[",\r\n]/.test(text) ? '"' + text.replaceAll('"', '""') + '"' : text);
  function file() {
    const one = event();
    const lines = one.runs.map((run) => [one.date, run.values.time, one.venue, one.event, one.car, ...fields.map((field) => plain(field, run.values))]);
    const headings = ["date", "time", "venue", "event", "car", ...fields.map((field) => field.heading)];
    const text = "\ufeff" + [headings, ...lines].map((line) => line.map((cell) => quoted(asText(cell || ""))).join(",") + "\r\n").join("");
    const name = ["slips", one.date, one.event || one.venue].filter(Boolean).join("-").toLowerCase().replace(/[^a-z0-9-]+/g, "-") + "-" + one.id.slice(-4) + ".csv";
    return new File([text], name, { type: "text/csv" });
  }
  function save() {
    if (isTyped(shown())) say("told", "The run being typed is not in the file yet: press Add first if it should be.");
    else say("told", "Saved. Put the file into the logbook folder, in place of an earlier one of this event.");
    const made = file();
    const link = Object.assign(document.createElement("a"), { href: URL.createObjectURL(made), download: made.name });
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
  }

  /* --- ties */

  book = read() || book;
  book.removed = book.removed || [];
  if (!event()) {
    if (book.events.length) book.current = book.events.at(-1).id;
    else begin();
  }
  for (const name of heads) {
    byId("h-" + name).addEventListener("input", () => {
      event()[name] = byId("h-" + name).value;
      keep();
    });
    byId("h-" + name).addEventListener("change", draw);
  }
  for (const name of ["time", ...fields.map((field) => field.name)]) input(name).addEventListener("input", typed);
  for (const field of fields) {
    input(field.name).addEventListener("change", checkAll);
    input(field.name).addEventListener("input", () => {
      const found = check(field, shown());
      const isSure = found && (found.meant || number(input(field.name).value) > field.high);
      show(field, isSure ? found : null);
    });
  }
  byId("events").addEventListener("change", () => {
    book.current = byId("events").value;
    draw();
    keep();
  });
  byId("begin").addEventListener("click", () => {
    remember();
    begin();
    draw();
    keep();
    byId("h-date").focus();
  });
  byId("entry").addEventListener("submit", (sent) => {
    sent.preventDefault();
    add();
  });
  byId("undo").addEventListener("click", undo);
  byId("save").addEventListener("click", save);
  byId("paper").addEventListener("click", () => window.print());
  byId("share").hidden = !(navigator.canShare && navigator.canShare({ files: [new File(["x"], "x.csv", { type: "text/csv" })] }));
  byId("share").addEventListener("click", () => navigator.share({ files: [file()] }).catch(() => say("told", "Nothing was shared; Save writes the file.")));
  window.addEventListener("storage", (changed) => {
    if (changed.key !== KEY) return;
    takeIn(read());
    drawRuns();
  });
  window.addEventListener("beforeunload", (leaving) => {
    if (isAtRisk) leaving.preventDefault();
  });
  draw();
  keep();
})();
