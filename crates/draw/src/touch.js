// Values under a finger, a mouse or the arrow keys. Works on every element with data-draw-touch, also on those that come
// into the page later. Needs nothing else; sets attributes and text only, so that a strict policy for content holds.
"use strict";
(() => {
  const known = new WeakMap();

  // Figures of the picture, read once.
  function read(figure) {
    const block = figure.querySelector("script[data-draw-figures]");
    if (!block) return null;
    if (!known.has(block)) known.set(block, JSON.parse(block.textContent));
    const figures = known.get(block);
    return figures.rows.length ? figures : null;
  }

  // The row nearest to a minute.
  function nearest(rows, min) {
    let best = 0;
    rows.forEach((row, i) => {
      if (Math.abs(row[0] - min) < Math.abs(rows[best][0] - min)) best = i;
    });
    return best;
  }

  // What is said of a row.
  function parts(figures, row) {
    const said = [];
    figures.head.forEach(([name, unit], i) => {
      if (row[i + 2]) said.push(`${name} ${row[i + 2]} ${unit}`);
    });
    for (const lane of figures.lanes) {
      const names = lane.spans.filter(([, from, to]) => row[0] >= from && row[0] <= to).map(([name]) => name);
      if (names.length) said.push(`${lane.label}: ${names.join(", ")}`);
    }
    return said;
  }

  function show(figure, figures, index) {
    if (figure.getAttribute("data-draw-at") === String(index)) return;
    figure.setAttribute("data-draw-at", String(index));
    const row = figures.rows[index];
    for (const cursor of figure.querySelectorAll(".draw-cursor")) {
      const of = (name) => Number(cursor.getAttribute(`data-${name}`));
      const share = (row[0] - of("from-min")) / (of("to-min") - of("from-min"));
      const x = of("left-px") + Math.min(1, Math.max(0, share)) * (of("right-px") - of("left-px"));
      cursor.setAttribute("transform", `translate(${x.toFixed(1)} 0)`);
      cursor.setAttribute("visibility", "visible");
    }
    const readout = figure.querySelector("[data-draw-readout]");
    if (!readout) return;
    const time = document.createElement("strong");
    time.textContent = row[1];
    readout.replaceChildren(time);
    for (const words of parts(figures, row)) {
      const part = document.createElement("span");
      part.textContent = words;
      readout.append("; ", part);
    }
  }

  function hide(figure) {
    figure.removeAttribute("data-draw-at");
    for (const cursor of figure.querySelectorAll(".draw-cursor")) cursor.setAttribute("visibility", "hidden");
    const readout = figure.querySelector("[data-draw-readout]");
    if (readout) readout.textContent = readout.getAttribute("data-draw-readout");
  }

  function point(event) {
    const figure = event.target instanceof Element && event.target.closest("[data-draw-touch]");
    const svg = figure && event.target.closest("svg");
    const cursor = svg && svg.querySelector(".draw-cursor");
    const figures = cursor && read(figure);
    if (!figures) return;
    const box = svg.getBoundingClientRect();
    const x = ((event.clientX - box.left) * svg.viewBox.baseVal.width) / box.width;
    const of = (name) => Number(cursor.getAttribute(`data-${name}`));
    const share = (x - of("left-px")) / (of("right-px") - of("left-px"));
    show(figure, figures, nearest(figures.rows, of("from-min") + share * (of("to-min") - of("from-min"))));
  }

  function key(event) {
    const figure = event.target;
    if (!(figure instanceof Element) || !figure.hasAttribute("data-draw-touch")) return;
    if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey) return;
    const figures = read(figure);
    if (!figures) return;
    const last = figures.rows.length - 1;
    const at = figure.getAttribute("data-draw-at");
    const from = at === null ? nearest(figures.rows, 0) : Number(at);
    const step = at === null ? 0 : 1;
    const to = {
      ArrowLeft: from - step, ArrowRight: from + step, PageUp: from - 6, PageDown: from + 6, Home: 0, End: last,
    }[event.key];
    if (event.key === "Escape") hide(figure);
    else if (to !== undefined) show(figure, figures, Math.min(last, Math.max(0, to)));
    else return;
    event.preventDefault();
  }

  document.addEventListener("pointerdown", point);
  document.addEventListener("pointermove", point);
  document.addEventListener("keydown", key);
})();
