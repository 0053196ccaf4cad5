// The page beside the oven: kept current, and the way to the sheet.
import "./clock.js";
import * as clock from "./clock.js";
import * as queue from "./queue.js";
import * as live from "./live.js";
import * as write from "./write.js";
import { renew } from "./parts.js";

const { oven, day, newDay } = document.body.dataset;

async function renewWritten() {
  await Promise.all([renew("written", `/parts/days/${day}/written`), renew("touch", `/parts/days/${day}/touch`)]);
  const known = document.querySelector("#written #known");
  if (known) write.setKnown(JSON.parse(known.textContent));
}

function showWaiting() {
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
  const words = problems.map((problem) => [problem.what, problem.suggestion && `try: ${problem.suggestion}`].filter(Boolean).join("; "));
  return words.join(". ") || error;
}

document.addEventListener("click", (event) => {
  const id = event.target.closest("[data-take-back]")?.dataset.takeBack;
  if (id) write.takeBack(id, event.target.closest("li").querySelector(".what").firstChild.textContent.trim());
});

document.getElementById("demo")?.addEventListener("click", async (event) => {
  const key = event.target.closest("[data-demo]")?.dataset.demo;
  if (!key) return;
  const answer = await fetch("/api/demo", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify({ key }) }).catch(() => undefined);
  if (!answer?.ok) return;
  const { at_ms, speed_factor: speed } = await answer.json();
  clock.set(at_ms, speed);
  if (key === "again") location.reload();
});

queue.watch(showWaiting);
showWaiting();
write.start(oven, day ?? newDay);
if (day) {
  live.watch(day, (what) => (what === "board" ? renew("board", `/parts/days/${day}/board`) : what === "entries" ? renewWritten() : undefined));
} else {
  // The first entry begins the day: once it has been taken in, the page is about that day.
  let had = queue.waiting().length;
  queue.watch(() => {
    const has = queue.waiting().length;
    if (had > 0 && has === 0) location.href = `/ovens/${oven}/now`;
    had = has;
  });
}
