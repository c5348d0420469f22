/* Sorts and filters the table of every run; without it the table stands in the order run. */
(function () {
  "use strict";
  const table = document.getElementById("every-run");
  if (!table) return;
  const body = table.tBodies[0];
  const rows = [...body.rows];
  const heads = [...table.tHead.rows[0].cells];
  const words = rows.map((row) => row.textContent.toLowerCase());

  /* A figure as the page writes it: a real minus sign, thousands apart. NaN when it is none. */
  const figure = (text) => parseFloat(text.replace("−", "-").replaceAll(",", ""));

  function key(row, column) {
    if (column === 0) return rows.indexOf(row);
    const text = row.cells[column].textContent.trim();
    return heads[column].classList.contains("figure") ? figure(text) : text.toLowerCase();
  }

  function sortBy(column, way) {
    const last = (value) => value === "" || Number.isNaN(value);
    const keyed = rows.map((row, place) => ({ row, place, value: key(row, column) }));
    keyed.sort((a, b) => {
      if (last(a.value) || last(b.value)) return last(a.value) - last(b.value) || a.place - b.place;
      if (a.value === b.value) return a.place - b.place;
      return (a.value < b.value ? -1 : 1) * way;
    });
    body.append(...keyed.map((one) => one.row));
    heads.forEach((head, place) => {
      if (place === column) head.setAttribute("aria-sort", way > 0 ? "ascending" : "descending");
      else head.removeAttribute("aria-sort");
    });
  }

  heads.forEach((head, column) => {
    const button = document.createElement("button");
    button.type = "button";
    button.className = "sort";
    button.append(...head.childNodes);
    button.addEventListener("click", () => {
      sortBy(column, head.getAttribute("aria-sort") === "ascending" ? -1 : 1);
    });
    head.append(button);
  });

  const sieve = document.getElementById("sieve");
  const find = document.getElementById("find-run");
  const which = document.getElementById("which-runs");
  const count = document.getElementById("runs-shown");
  function sift() {
    const wanted = find.value.toLowerCase().split(/\s+/).filter(Boolean);
    let shown = 0;
    rows.forEach((row, place) => {
      const fits = (row.dataset.is || "").includes(which.value);
      row.hidden = !(fits && wanted.every((word) => words[place].includes(word)));
      if (!row.hidden) shown += 1;
    });
    count.textContent = shown + " of " + rows.length + (rows.length === 1 ? " run" : " runs");
  }
  find.addEventListener("input", sift);
  which.addEventListener("change", sift);
  sieve.addEventListener("submit", (event) => event.preventDefault());
  sieve.hidden = false;
  sift();
})();
