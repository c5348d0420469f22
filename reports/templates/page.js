/* Draws the page's charts and ties its controls to them. Nothing here reaches for the network. */
(function () {
  "use strict";
  const views = new Map();
  const read = (id) => JSON.parse(document.getElementById(id).textContent);

  function told(view, name, value) {
    try {
      view.signal(name, value);
      view.runAsync();
    } catch (unknown) {
      /* A chart without this switch has nothing to do with it. */
    }
  }

  /* One picked event for the whole page: charts, rows and the list agree. */
  const picker = document.getElementById("event-picker");
  function pick(event) {
    if (picker) picker.value = event;
    document.documentElement.dataset.picked = event;
    for (const view of views.values()) told(view, "picked_event", event);
    for (const row of document.querySelectorAll("[data-event]")) {
      row.classList.toggle("stepped-back", event !== "" && row.dataset.event !== event);
    }
  }
  if (picker) picker.addEventListener("change", () => pick(picker.value));
  function pickedFrom(item) {
    const event = item && item.datum && item.datum.event;
    if (!event || !picker) return;
    pick(picker.value === event ? "" : event);
  }

  function tieSlider(slider) {
    const stops = read(slider.dataset.stops);
    const out = document.getElementById(slider.dataset.says);
    const move = () => {
      const stop = stops[Number(slider.value)];
      out.textContent = stop.says;
      slider.setAttribute("aria-valuetext", stop.says);
      const view = views.get(slider.dataset.figure);
      if (view) told(view, slider.dataset.switch, stop.value);
    };
    slider.addEventListener("input", move);
    move();
  }

  async function draw(holder, config) {
    const key = holder.dataset.chart;
    const made = await window.vegaEmbed(holder, read("spec-" + key), {
      config: config,
      renderer: "svg",
      actions: false,
      ast: true, /* no code is made from text, so the page's policy can forbid it */
      defaultStyle: false,
      tooltip: { theme: "slip", disableDefaultStyle: true, offsetX: 14, offsetY: 14 },
    });
    views.set(key, made.view);
    made.view.addEventListener("click", (_event, item) => pickedFrom(item));
    /* The holder speaks for the whole drawing; its single marks would only be noise. */
    holder.querySelector("svg").setAttribute("aria-hidden", "true");
  }

  async function start() {
    const holders = [...document.querySelectorAll("[data-chart]")];
    if (holders.length) {
      const config = read("chart-config");
      for (const holder of holders) await draw(holder, config);
    }
    document.querySelectorAll("input[type=range][data-stops]").forEach(tieSlider);
    document.documentElement.dataset.ready = "yes";
  }

  /* Paper cannot be unfolded: what belongs on it is opened first, and put back after. */
  let unfolded = [];
  window.addEventListener("beforeprint", () => {
    unfolded = [...document.querySelectorAll("details[data-print]:not([open])")];
    unfolded.forEach((fold) => { fold.open = true; });
  });
  window.addEventListener("afterprint", () => unfolded.forEach((fold) => { fold.open = false; }));

  start();
})();
