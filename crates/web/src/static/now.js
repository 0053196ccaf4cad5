// The page beside the oven: kept current, and the way to the sheet.
import "./clock.js";
import * as clock from "./clock.js";
import * as queue from "./queue.js";
import * as live from "./live.js";
import * as write from "./write.js";
import { renew } from "./parts.js";
import { offer, showWaiting } from "./take_back.js";

const { oven, day, newDay } = document.body.dataset;

async function renewWritten() {
  await Promise.all([renew("written", `/parts/days/${day}/written`), renew("touch", `/parts/days/${day}/touch`)]);
  const known = document.querySelector("#written #known");
  if (known) write.setKnown(JSON.parse(known.textContent));
}

document.getElementById("demo")?.addEventListener("click", async (event) => {
  const key = event.target.closest("[data-demo]")?.dataset.demo;
  if (!key) return;
  const answer = await fetch("/api/demo", { method: "POST", headers: { "content-type": "application/json" }, body: JSON.stringify({ key }) }).catch(() => undefined);
  if (!answer?.ok) return;
  const { at_ms, speed_factor: speed } = await answer.json();
  clock.set(at_ms, speed);
  if (key === "again") location.reload();
});

offer(oven, day ?? newDay);
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
