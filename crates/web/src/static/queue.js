// Entries on their way to the server. Each is kept in the browser until the server has answered for it, and sent in the
// order it was written; the server takes each id once, so sending twice does no harm.
const KEY = "ovenfall.queue";
const LONGEST_WAIT_MS = 15000;
const watchers = [];
let rows = read();
let sending = false;
let wait_ms = 1000;
let timer = 0;
let kept = true;

function read() {
  try {
    return JSON.parse(localStorage.getItem(KEY)) ?? [];
  } catch {
    return [];
  }
}

function keep() {
  try {
    localStorage.setItem(KEY, JSON.stringify(rows));
    kept = true;
  } catch {
    // Still sent from memory; the page says that closing it would lose them.
    kept = false;
  }
  for (const watcher of watchers) watcher();
}

/** Calls back whenever the queue changes. */
export function watch(watcher) {
  watchers.push(watcher);
}

/** What waits, the oldest first: `{ oven, day, entry, words, refused }`. */
export function waiting() {
  return rows;
}

/** Whether what waits would outlive closing the page. */
export function isKept() {
  return kept;
}

/** An id nobody else will give. */
export function newId() {
  const random = crypto.getRandomValues(new Uint8Array(10));
  return Array.from(random, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

/** Takes an entry in and sends it as soon as it can be. */
export function add(row) {
  rows.push(row);
  keep();
  send();
}

/** Takes an entry out that the server refused, or that was never sent. */
export function drop(id) {
  rows = rows.filter((row) => row.entry.id !== id);
  keep();
}

/** Sends what waits, day by day in the order it was written. */
export async function send() {
  clearTimeout(timer);
  if (sending) return;
  sending = true;
  try {
    for (let batch = next(); batch.length > 0; batch = next()) await deliver(batch);
    wait_ms = 1000;
  } catch {
    timer = setTimeout(send, wait_ms);
    wait_ms = Math.min(wait_ms * 2, LONGEST_WAIT_MS);
  } finally {
    sending = false;
  }
}

function next() {
  const ready = rows.filter((row) => !row.refused);
  return ready.filter((row) => row.day === ready[0].day).slice(0, 200);
}

async function ask(method, address, body) {
  const answer = await fetch(address, {
    method,
    headers: body === undefined ? {} : { "content-type": "application/json" },
    body: body === undefined ? undefined : JSON.stringify(body),
    signal: AbortSignal.timeout(10000),
  });
  if (answer.status >= 500 || answer.status === 429) throw new Error(`status ${answer.status}`);
  return answer;
}

async function deliver(batch) {
  const { oven, day } = batch[0];
  await ask("POST", `/api/ovens/${oven}/days/${day}`);
  const answer = await ask("POST", `/api/days/${day}/entries`, batch.map((row) => row.entry));
  if (answer.ok) {
    const ids = new Set(batch.map((row) => row.entry.id));
    rows = rows.filter((row) => !ids.has(row.entry.id));
    keep();
    return;
  }
  const said = await answer.json().catch(() => ({ error: `status ${answer.status}`, problems: [] }));
  if (answer.status === 401) {
    location.href = "/pair";
    throw new Error("not paired");
  }
  const refused = batch.length === 1 ? batch[0] : batch[said.problems?.[0]?.entry];
  if (refused) {
    refused.refused = { error: said.error, problems: said.problems ?? [] };
    keep();
    return;
  }
  // Which one it is, is not said: one by one.
  for (const row of batch) await deliver([row]);
}

addEventListener("online", send);
addEventListener("storage", (event) => {
  // Another page of this browser has changed the queue.
  if (event.key !== KEY) return;
  rows = read();
  for (const watcher of watchers) watcher();
});
send();
