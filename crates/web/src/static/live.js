// News from the server, and whether it can be reached at all: said at once, at the top of the page.
import * as queue from "./queue.js";
import * as clock from "./clock.js";

const SILENT_MS = 12000;
const lines = document.querySelectorAll("[data-reach]");
let source;
let dog = 0;
let reached = true;

function show() {
  const waiting = queue.waiting().filter((row) => !row.refused).length;
  const entries = waiting === 1 ? "1 entry waits" : `${waiting} entries wait`;
  const kept = queue.isKept() ? "What you write is kept on this screen and sent later" : "This browser keeps nothing: leave this page open";
  const away = `The oven's server cannot be reached. ${kept}.${waiting ? ` ${entries}.` : ""}`;
  const short = `Server out of reach${waiting ? `, ${waiting} wait` : ""}`;
  for (const line of lines) {
    // While the server is there nothing comes and goes above what is being pressed.
    line.hidden = reached;
    line.textContent = line.dataset.reach === "short" ? short : away;
  }
}

function lost() {
  reached = false;
  show();
}

function alive() {
  clearTimeout(dog);
  dog = setTimeout(() => {
    lost();
    source.close();
    open();
  }, SILENT_MS);
  if (!reached) {
    reached = true;
    queue.send();
  }
  show();
}

let address;
let told;

function open() {
  source = new EventSource(address);
  source.onopen = () => {
    alive();
    // Whatever was missed: everything is looked at again.
    told("entries");
    told("board");
    told("menu");
  };
  source.onerror = () => {
    lost();
    if (source.readyState === EventSource.CLOSED) setTimeout(open, 3000);
  };
  source.addEventListener("still", (event) => {
    alive();
    if (event.data) {
      const { now_ms, speed_factor: speed } = JSON.parse(event.data);
      clock.set(now_ms, speed);
    }
  });
  for (const kind of ["entries", "board", "menu"]) {
    source.addEventListener(kind, () => {
      alive();
      told(kind);
    });
  }
}

/** Watches a day: calls back with "entries", "board" or, where it is wanted, "menu". */
export function watch(day, callback, wants = "") {
  address = `/api/days/${day}/live?${wants}`;
  told = callback;
  open();
}

queue.watch(show);
addEventListener("offline", lost);
addEventListener("pagehide", () => source?.close());
addEventListener("pageshow", (event) => {
  if (event.persisted && address) open();
});
