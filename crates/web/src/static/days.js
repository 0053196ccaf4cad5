// A day: the forecast against what came is worked out behind the page; entries can still be taken back.
import { renew } from "./parts.js";
import { offer, showWaiting } from "./take_back.js";
import * as queue from "./queue.js";
import * as live from "./live.js";

const { oven, day } = document.body.dataset;
const past = document.getElementById("past");

async function lookBack() {
  const answer = await fetch(past.dataset.src).catch(() => undefined);
  past.innerHTML = answer?.ok ? await answer.text() : "";
  if (!answer?.ok) past.textContent = answer ? "This could not be worked out." : "The server cannot be reached.";
}

offer(oven, day);
queue.watch(showWaiting);
showWaiting();
live.watch(day, (what) => (what === "entries" ? renew("written", `/parts/days/${day}/entries`) : undefined));
lookBack();
