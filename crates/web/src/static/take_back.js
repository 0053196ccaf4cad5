// What waits to be sent, and taking back what was written: an entry taken back stays in the day, struck through.
import * as clock from "./clock.js";
import * as queue from "./queue.js";

/** Shows what waits to be sent. */
export function showWaiting() {
  const list = document.getElementById("waiting");
  list.replaceChildren(
    ...queue.waiting().map((row) => {
      const item = document.createElement("li");
      const time = document.createElement("time");
      time.textContent = row.entry.at.slice(11, 16);
      const what = document.createElement("span");
      what.className = "what";
      what.textContent = row.words;
      const state = document.createElement("small");
      state.textContent = row.refused ? refusal(row.refused) : "waits to be sent";
      if (row.refused) state.className = "wrong";
      what.append(state);
      item.append(time, what);
      if (row.refused) {
        const drop = document.createElement("button");
        drop.type = "button";
        drop.textContent = "Drop it";
        drop.addEventListener("click", () => queue.drop(row.entry.id));
        item.append(drop);
      }
      return item;
    }),
  );
}

function refusal({ error, problems }) {
  const words = problems.map((problem) => [problem.what, problem.limits && `allowed: ${problem.limits}`, problem.suggestion && `try: ${problem.suggestion}`].filter(Boolean).join("; "));
  return words.join(". ") || error;
}

/** Takes entries of a day back when their key is pressed. */
export function offer(oven, day) {
  document.addEventListener("click", (event) => {
    const key = event.target.closest("[data-take-back]");
    if (!key) return;
    const at = clock.written(clock.now());
    const words = key.closest("li").querySelector(".what").firstChild.textContent.trim();
    const entry = { id: queue.newId(), at, written: at, kind: "strike", what: "", value: "", unit: "", note: "", strikes: key.dataset.takeBack };
    key.disabled = true;
    queue.add({ oven, day, entry, words: `taken back: ${words}` });
  });
}
