/* Keeps the answers in the browser and saves them as questions.csv. Nothing here reaches for the network. */
(function () {
  "use strict";
  const file = JSON.parse(document.getElementById("answer-file").textContent);
  const place = file.headings.indexOf("answer");
  const cards = [...document.querySelectorAll(".question")];
  const note = document.getElementById("kept-note");
  const own = (card) => card.querySelector(".own-value");
  const chosen = (card) => card.querySelector("input[type=radio]:checked");
  let unsaved = false;

  function answerOf(card) {
    const radio = chosen(card);
    if (!radio) return "";
    return radio.value === "own" ? own(card).value.trim() : radio.value;
  }

  function choose(card, word) {
    const radio = [...card.querySelectorAll("input[type=radio]")].find((one) => one.value === word);
    if (radio) radio.checked = true;
  }

  function put(card, answer) {
    const known = [...card.querySelectorAll("input[type=radio]")].map((one) => one.value);
    const isWord = answer !== "own" && known.includes(answer);
    if (!isWord) own(card).value = answer;
    choose(card, isWord ? answer : "own");
  }

  /* Some browsers refuse storage to a page opened from a file: then it is said, and nothing is lost on Save. */
  function keep() {
    const answers = {};
    for (const card of cards) answers[card.dataset.id] = answerOf(card);
    try {
      localStorage.setItem(file.kept_as, JSON.stringify({ made: file.made, answers: answers }));
      note.textContent = "Your answers are kept in this browser until you save.";
    } catch (refused) {
      note.textContent = "This browser keeps nothing between visits: press Save before you close the page.";
      unsaved = true;
    }
  }

  function recall() {
    let kept = null;
    try {
      kept = JSON.parse(localStorage.getItem(file.kept_as));
    } catch (refused) {
      note.textContent = "This browser keeps nothing between visits: press Save before you close the page.";
    }
    if (!kept || !kept.answers) return;
    for (const card of cards) {
      const answer = kept.answers[card.dataset.id];
      /* What questions.csv held when a newer page was made counts before what this browser remembers. */
      if (answer === undefined || (kept.made !== file.made && (answerOf(card) || !answer))) continue;
      put(card, answer);
    }
  }

  const asks = () => cards.filter((card) => !card.closest("#noted"));

  function count() {
    const done = asks().filter((card) => answerOf(card)).length;
    for (const card of cards) card.classList.toggle("answered", answerOf(card) !== "");
    document.getElementById("progress").textContent = done + " of " + asks().length + " answered";
  }

  function changed() {
    count();
    keep();
  }

  /* As spreadsheet_text.py does: text a spreadsheet would run gets an apostrophe; numbers stay as they are. */
  function asText(text) {
    const isNumber = /^[+-]?(\d+\.?\d*|\.\d+)(e[+-]?\d+)?$/i.test(text.trim());
    return /^[=+\-@\t\r]/.test(text) && !isNumber ? "'" + text : text;
  }
  const quoted = (text) => (/[",\r\n]/.test(text) ? '"' + text.replaceAll('"', '""') + '"' : text);

  function csv() {
    const lines = file.lines.map((line) => [...line]);
    for (const card of cards) lines[Number(card.dataset.at)][place] = asText(answerOf(card));
    return "\ufeff" + [file.headings, ...lines].map((line) => line.map(quoted).join(",") + "\r\n").join("");
  }

  function save() {
    const link = document.createElement("a");
    link.href = URL.createObjectURL(new Blob([csv()], { type: "text/csv;charset=utf-8" }));
    link.download = "questions.csv";
    document.body.append(link);
    link.click();
    link.remove();
    setTimeout(() => URL.revokeObjectURL(link.href), 10000);
    unsaved = false;
    note.textContent = "Saved. Put questions.csv into the logbook folder in place of the one there.";
  }

  function goToNext() {
    const open = asks().find((card) => !answerOf(card));
    if (!open) return;
    open.scrollIntoView({ block: "center" });
    open.querySelector("input").focus();
  }

  for (const card of cards) {
    own(card).addEventListener("input", () => choose(card, "own"));
    card.addEventListener("input", changed);
  }
  for (const button of document.querySelectorAll("[data-all]")) {
    button.addEventListener("click", () => {
      for (const card of button.closest(".cause").querySelectorAll(".question")) choose(card, button.dataset.all);
      changed();
    });
  }
  document.getElementById("save").addEventListener("click", save);
  document.getElementById("next-open").addEventListener("click", goToNext);
  window.addEventListener("beforeunload", (leaving) => {
    if (unsaved) leaving.preventDefault();
  });
  recall();
  count();
})();
